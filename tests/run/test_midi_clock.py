"""MIDI clock for a drum machine.

Reference: MIDI 1.0, system real time messages and the song position pointer: F8 clock, 24 a quarter
note; FA start, FB continue, FC stop; F2 with two data bytes, the lower seven bits first, counts
sixteenths. mido 1.3.3 reads the bytes.
"""

from fractions import Fraction
from itertools import pairwise

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.run.desk import Desk, song_of

from chartwalk.click import ClickStyle
from chartwalk.clock.schedule import ScheduledBar
from chartwalk.guide import Part
from chartwalk.run import Ladder, Loop, Manner, Through, in_gaps, make_score
from chartwalk.run.transport import position
from chartwalk.song import Song

MANNER = Manner(midi_clock=True)
FOUR = song_of("chords | C | F | G | C |")
PICKUP = song_of("road | pickup | | | |\nchords | D | G | C | D |\ntune | D4:1 | | | |")


def transport(bar: ScheduledBar) -> list[str]:
    """What a drum machine is told in a bar but the clocks: position, start, continue, stop."""
    found = [mido.Message.from_bytes(event.message) for event in bar.events]
    names = {"start", "continue", "stop"}
    return [
        f"at {message.pos}" if message.type == "songpos" else message.type
        for message in found
        if message.type == "songpos" or message.type in names
    ]


def clocks(bar: ScheduledBar) -> list[int]:
    """The ticks of the clocks of a bar."""
    return [
        event.tick for event in bar.events if mido.Message.from_bytes(event.message).type == "clock"
    ]


def run_from(song: Song, first: int, manner: Manner = MANNER) -> tuple[ScheduledBar, ...]:
    bars = [song.bars[step.bar] for step in song.steps]
    turns = Through(first, len(bars) - 1).turns(bars, manner.click)
    return make_score(turns, manner, song).bars


@pytest.mark.parametrize(("meter", "quarters"), [("4/4", 4), ("6/8", 3), ("7/8", 3.5), ("2/2", 4)])
def test_there_are_24_clocks_a_quarter_evenly_apart(meter: str, quarters: float) -> None:
    song = song_of("tempo 58\n\nchords | C | F |", meter)
    for bar in run_from(song, 0):
        assert clocks(bar) == [40 * number for number in range(int(24 * quarters))]


@given(st.integers(1, 999))
def test_at_any_tempo_a_clock_comes_every_24th_of_a_quarter(tempo: int) -> None:
    song = song_of(f"tempo {tempo}\n\nchords | C | F |")
    for bar in run_from(song, 0):
        moments = [tick * bar.tick_seconds for tick in clocks(bar)]
        # At 120 a clock is 20.833 ms long, at 60 it is 41.667 ms: 60 / 24 / tempo seconds.
        expected = [number * 60 / 24 / tempo for number in range(96)]
        assert moments == pytest.approx(expected, rel=1e-9)
        assert bar.ticks * bar.tick_seconds == pytest.approx(96 * 60 / 24 / tempo, rel=1e-9)


def test_the_first_bar_of_the_song_starts_it_and_the_count_in_does_not() -> None:
    counted, first, *others = run_from(FOUR, 0)
    assert transport(counted) == []
    assert transport(first) == ["at 0", "start"]
    assert [transport(bar) for bar in others] == [[], [], []]
    # The start goes before the first clock (MIDI 1.0: that clock is the first of the song), and
    # the position before the start.
    kinds = [mido.Message.from_bytes(event.message).type for event in first.events]
    assert kinds[:3] == ["songpos", "start", "clock"]


@pytest.mark.parametrize(
    ("song", "step", "place"),
    [
        (FOUR, 1, 16),  # a bar of 4/4 is 16 sixteenths
        (FOUR, 3, 48),
        (PICKUP, 1, 4),  # after a quarter
        (PICKUP, 3, 36),
        (song_of("chords | C | F |", "6/8"), 1, 12),
        (song_of("chords |: C | F :| G |"), 2, 32),  # the play order counts
        (song_of("tempo 60\n\nchords | C |\n\nmeter 3/8\n\nchords | F | G | A |"), 3, 28),
    ],
)
def test_a_later_bar_continues_it_from_its_place(song: Song, step: int, place: int) -> None:
    assert position(song, step) == place
    bars = run_from(song, step)
    first = next(bar for bar in bars if transport(bar))
    assert transport(first) == [f"at {place}", "continue"]


def test_a_place_between_two_sixteenths_counts_from_the_next() -> None:
    song = song_of("road | pickup | | |\nchords | D | G | C |\ntune | D4:1/3 | | |")
    assert position(song, 1) == 2  # a third of a quarter is one sixteenth and a third


def test_a_place_goes_as_far_as_two_data_bytes_hold() -> None:
    # 1024 bars of 4/4 are 16384 sixteenths, one more than fourteen bits hold.
    song = song_of("chords " + "| C " * 1030 + "|")
    assert position(song, 1023) == 16368
    assert position(song, 1025) == 16383


def test_the_bytes_of_a_position() -> None:
    song = song_of("chords " + "| C " * 14 + "|")
    bar = next(bar for bar in run_from(song, 13) if transport(bar))
    # 13 bars of 16 sixteenths are 208 = 1 * 128 + 80.
    assert bar.events[0].message == bytes([0xF2, 80, 1])


def test_between_two_rounds_it_is_stopped_and_set_back() -> None:
    bars = [FOUR.bars[step.bar] for step in FOUR.steps]
    loop = Loop(1, 2, Ladder(), Fraction(96), Fraction(1))
    turns = loop.turns(bars, MANNER.click)
    schedule = make_score(turns, MANNER, FOUR).bars[:7]
    assert [transport(bar) for bar in schedule] == [
        [], ["at 16", "continue"], [],
        ["stop"], ["at 16", "continue"], [],
        ["stop"],
    ]  # fmt: skip
    assert all(len(clocks(bar)) == 96 for bar in schedule)  # clocks go on all the while


def test_clocks_go_on_in_silent_bars_and_nothing_else_does() -> None:
    style = ClickStyle(sounding=1, silent=3)
    bars = [FOUR.bars[step.bar] for step in FOUR.steps]
    turns = in_gaps(Through(0, 3).turns(bars, style), style)
    schedule = make_score(turns, Manner(style, midi_clock=True), FOUR).bars
    for turn, bar in zip(turns, schedule, strict=True):
        assert len(clocks(bar)) == 96
        if turn.silent:
            assert {event.message for event in bar.events} == {b"\xf8"}


def test_without_it_no_drum_machine_hears_anything() -> None:
    for bar in run_from(FOUR, 0, Manner()):
        assert not clocks(bar)
        assert not transport(bar)


# What reaches the port of a run with changes on the way.


def told(desk: Desk) -> list[str]:
    found = [mido.Message.from_bytes(message) for _, message in desk.world.port.sent]
    return [
        message.type if message.type != "songpos" else f"at {message.pos}"
        for message in found
        if message.type in {"start", "continue", "stop", "songpos"}
    ]


def test_a_run_that_is_changed_on_the_way_is_started_once() -> None:
    desk = Desk(song_of("tempo 120\n\nchords " + "| C " * 8 + "|"), midi_clock="on")
    desk.run()
    desk.wait(5)
    desk.toggle(Part.BASS)
    desk.faster()
    desk.shift(1)
    desk.wait(4)
    assert told(desk) == ["at 0", "start"]
    desk.halt()
    assert told(desk) == ["at 0", "start", "stop"]
    desk.halt()
    assert told(desk).count("stop") == 1


def test_it_can_be_turned_on_while_a_run_goes_on() -> None:
    desk = Desk(song_of("tempo 120\n\nchords " + "| C " * 8 + "|"))
    desk.run()
    desk.wait(5)  # two seconds are counted in; the second bar of the song is under way
    desk.change("midi.clock", "on")
    desk.wait(1.5)
    assert told(desk) == ["at 32", "continue"]
    desk.change("guide.bass", "on")
    desk.wait(2)
    assert told(desk) == ["at 32", "continue"]


@settings(max_examples=20)
@given(st.lists(st.booleans(), min_size=1, max_size=6))
def test_no_clock_is_lost_or_doubled_over_bar_lines_however_the_run_changes(
    changes: list[bool],
) -> None:
    desk = Desk(song_of("tempo 120\n\nchords " + "| C " * 12 + "|"), midi_clock="on")
    desk.run()
    for up in changes:
        desk.wait(1.7)
        desk.toggle(Part.CHORDS if up else Part.TUNE)
    desk.wait(1)
    moments = [moment for moment, message in desk.world.port.sent if message == b"\xf8"]
    for earlier, later in pairwise(moments):
        assert later - earlier == pytest.approx(60 / 24 / 120, abs=1e-6)
