"""What the clock is given for any song, click and guide: in order, within the bars, all ended.

mido 1.3.3 reads every message.
"""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.run.desk import song_of
from tests.run.songs_at_random import songs

from chartwalk.click import Beats, Between, ClickStyle
from chartwalk.clock.schedule import TICKS_PER_QUARTER, Event
from chartwalk.guide import Guide, Part, Voice
from chartwalk.run import Ladder, Loop, Manner, Score, Through, Turn, in_gaps, make_score
from chartwalk.run.keys import untangled

MOST = 14  # bars of a run that are looked at

voices = st.builds(
    Voice,
    st.integers(1, 16),
    st.none() | st.integers(1, 128),
    st.integers(0, 127),
)
guides = st.builds(
    Guide,
    st.frozensets(st.sampled_from(Part)),
    st.fixed_dictionaries(dict.fromkeys(Part, voices)),
)
clicks = st.builds(
    ClickStyle,
    beats=st.sampled_from(Beats),
    between=st.sampled_from(Between),
    swing=st.fractions(1, 4, max_denominator=6),
    groups=st.sampled_from([(), ((2, 3), (3, 2, 2))]),
    count_in=st.integers(1, 2),
    sounding=st.integers(1, 3),
    silent=st.integers(0, 3),
    hold=st.integers(0, 4),
    first=st.integers(0, 127),
    beat=st.integers(0, 127),
    off=st.integers(0, 127),
    volume=st.integers(1, 127),
    audible=st.booleans(),
)
manners = st.builds(Manner, clicks, guides, st.booleans())


@dataclass(frozen=True, repr=False)
class Made:
    """A run of some song, written out."""

    manner: Manner
    score: Score


@st.composite
def scores(draw: st.DrawFn) -> Made:
    """A run or a loop of any song, written out at once or in two parts."""
    song, manner = draw(songs()), draw(manners)
    bars = [song.bars[step.bar] for step in song.steps]
    first = draw(st.integers(0, min(len(bars), MOST) - 1))
    last = draw(st.integers(first, min(len(bars), first + MOST) - 1))
    turns: tuple[Turn, ...] = Through(first, last).turns(bars, manner.click)
    if draw(st.booleans()):
        turns = Loop(first, last, Ladder(1), Fraction(96), Fraction(1, 2)).turns(bars, manner.click)
    turns = in_gaps(turns[:MOST], manner.click)
    cut = draw(st.integers(0, len(turns) - 1))
    if not cut:
        return Made(manner, make_score(turns, manner, song))
    begun = make_score(turns[:cut], manner, song, (None, turns[cut]))
    rest = make_score(turns[cut:], manner, song, (turns[cut - 1], None))
    return Made(manner, begun.spliced(cut, rest))


@settings(max_examples=40)
@given(scores())
def test_every_note_is_ended_and_no_key_is_struck_while_it_sounds(made: Made) -> None:
    score = made.score
    sounding: dict[tuple[int, int], int] = {}  # the bar that each key was struck in
    for index, (turn, bar) in enumerate(zip(score.turns, score.bars, strict=True)):
        for event in bar.events:
            assert 0 <= event.tick < bar.ticks
            message = mido.Message.from_bytes(event.message)
            if message.type == "note_on":
                assert message.velocity > 0
                assert (message.channel, message.note) not in sounding
                sounding[message.channel, message.note] = index
            elif message.type == "note_off":
                assert (message.channel, message.note) in sounding
                del sounding[message.channel, message.note]
        # What still sounds leads into the next bar of the play order, by a tie.
        if sounding:
            following = score.turns[index + 1]
            assert turn.counted is None
            assert following.step == turn.step + 1
            assert not following.silent
            assert turn.bar.tune[-1].tied
            assert len(sounding) == 1
    assert not sounding


@settings(max_examples=30)
@given(scores())
def test_a_run_lasts_as_long_as_its_beats_and_its_holds(made: Made) -> None:
    manner, score = made.manner, made.score
    for turn, bar in zip(score.turns, score.bars, strict=True):
        held = len(turn.held) * manner.click.hold
        beats = turn.length / turn.bar.meter.beat + held
        seconds = beats * 60 / (turn.bar.tempo * turn.pace)
        tick = bar.tick_seconds  # lengths finer than a tick are rounded to the next one
        assert bar.ticks * tick == pytest.approx(float(seconds), rel=1e-9, abs=2 * tick)
        exact = (turn.length + held * turn.bar.meter.beat) * TICKS_PER_QUARTER
        if exact.denominator == 1 and exact > 2:
            assert bar.ticks == exact


@settings(max_examples=30)
@given(scores())
def test_a_silent_bar_holds_nothing_but_clocks(made: Made) -> None:
    manner, score = made.manner, made.score
    for turn, bar in zip(score.turns, score.bars, strict=True):
        kinds = {mido.Message.from_bytes(event.message).type for event in bar.events}
        if turn.silent:
            # a round of a loop may begin in silence
            assert kinds <= {"clock", "songpos", "start", "continue"}
        if not manner.midi_clock:
            assert not kinds & {"clock", "start", "stop", "continue", "songpos"}


@settings(max_examples=30)
@given(scores(), st.data())
def test_the_place_goes_forward_within_each_bar(made: Made, data: st.DataObject) -> None:
    score = made.score
    index = data.draw(st.integers(0, len(score.bars) - 1))
    most = score.bars[index].ticks
    asked = sorted(data.draw(st.lists(st.floats(0, float(most)), min_size=1, max_size=20)))
    places = [score.place(index, tick) for tick in (*asked, float(most))]
    assert places == sorted(places)
    assert places[0] >= 0
    assert places[-1] <= score.turns[index].length


def test_a_part_is_set_up_once_on_its_own_channel_before_it_plays() -> None:
    song = song_of("chords | C | F |")
    voices = {
        Part.CHORDS: Voice(5, 17, 40), Part.BASS: Voice(6, None, 50), Part.TUNE: Voice(7, 1, 60),
    }  # fmt: skip
    manner = Manner(guide=Guide(frozenset({Part.CHORDS, Part.BASS}), voices))
    bars = [song.bars[step.bar] for step in song.steps]
    counted, *played = make_score(Through(0, 1).turns(bars, manner.click), manner, song).bars
    # General MIDI level 1: program 17 is the drawbar organ, 16 in the message; controller 7 is the
    # volume (MIDI 1.0). Channels count from 0 in the messages.
    assert [event.message.hex(" ") for event in counted.events[:3]] == [
        "c4 10", "b4 07 28", "b5 07 32",
    ]  # fmt: skip
    assert not any(
        event.message[0] & 0xF0 in {0xB0, 0xC0} for bar in played for event in bar.events
    )


def test_a_tie_sounds_on_where_turns_are_given_later() -> None:
    song = song_of("chords | C | F |\ntune | C4:4~ | C4:4 |")
    manner = Manner(guide=Guide(frozenset({Part.TUNE})))
    bars = [song.bars[step.bar] for step in song.steps]
    counted, first, second = Through(0, 1).turns(bars, manner.click)
    begun = make_score([counted, first], manner, song, (None, second))
    later = make_score([second], manner, song, (first, None))
    tune = [
        (place, event.tick, event.message.hex(" "))
        for place, bar in enumerate((*begun.bars, *later.bars))
        for event in bar.events
        if event.message[0] & 0x0F == 3 and event.message[0] & 0xF0 in {0x80, 0x90}
    ]
    assert tune == [(1, 0, "93 3c 54"), (2, 3839, "83 3c 00")]
    # In place of what led up to something else it is struck again.
    anew = make_score([second], manner, song, (first, None), anew=True).bars[0]
    assert bytes([0x93, 60, 84]) in {event.message for event in anew.events}


def test_parts_on_one_channel_end_each_others_notes_no_more() -> None:
    # Tune and chord share the key C4 of F major, F3 A3 C4; the tune holds it longer.
    song = song_of("chords | F C |\ntune | C4:3 D4:1 |")
    shared = dict.fromkeys(Part, Voice(1))
    manner = Manner(ClickStyle(audible=False), Guide(frozenset(Part), shared))
    bars = [song.bars[step.bar] for step in song.steps]
    _, bar = make_score(Through(0, 0).turns(bars, manner.click), manner, song).bars
    middle_c = [
        (event.tick, event.message.hex(" "))
        for event in bar.events
        if event.message[1:2] == b"\x3c"
    ]
    assert middle_c == [(0, "90 3c 54"), (3 * 960, "80 3c 00")]  # once, as loud as the tune


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 9), st.integers(60, 62))))
def test_a_key_sounds_exactly_while_a_note_holds_it(spans: list[tuple[int, int, int]]) -> None:
    events = [
        event
        for start, length, key in spans
        for event in (
            Event(start, bytes([0x90, key, 64])), Event(start + length, bytes([0x80, key, 0]))
        )
    ]  # fmt: skip
    events.sort(key=lambda event: (event.tick, event.message[0]))
    found = untangled(events, Counter())
    assert [event.tick for event in found] == sorted(event.tick for event in found)
    for tick in range(50):
        wanted = {key for start, length, key in spans if start <= tick < start + length}
        sounding: set[int] = set()
        for event in found:
            if event.tick > tick:
                break
            key = event.message[1]
            assert (key in sounding) == (event.message[0] == 0x80)
            (sounding.remove if event.message[0] == 0x80 else sounding.add)(key)
        assert sounding == wanted
