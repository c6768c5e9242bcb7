"""What is played when the player asks for it, in a time of the test's own.

The songs last whole seconds a bar: at 120 a quarter is half a second, a bar of 4/4 two seconds.
The clock needs 0.03 s to start.
"""

from fractions import Fraction

import pytest
from tests.run.desk import FRAME, Desk, song_of

from chartwalk.chart import Bar, Chart, Section
from chartwalk.clock.player import LEAD
from chartwalk.clock.watch import Remedy
from chartwalk.conductor import Done
from chartwalk.conductor.conductor import AHEAD
from chartwalk.guide import Part
from chartwalk.mode import Mode
from chartwalk.roadmap import unroll
from chartwalk.run.plan import PORTION
from chartwalk.settings import SETTINGS
from chartwalk.song import Song

CLICK, TUNE = 10, 4  # channels, from 1

# A scale: the tune of each bar tells which one sounds. C4 is key 60.
EIGHT = song_of(
    "tempo  120\n\n"
    "section A\n"
    "chords | C    | Dm   | Em   | F    |\n"
    "tune   | C4:4 | D4:4 | E4:4 | F4:4 |\n\n"
    "section B\n"
    "chords | G    | Am   | Bdim | C    |\n"
    "tune   | G4:4 | A4:4 | B4:4 | C5:4 |"
)
BAR = 2.0


def starts(desk: Desk, channel: int = TUNE) -> list[tuple[float, int]]:
    """The notes of a channel: when they were struck, to the millisecond, and their keys."""
    return [(round(at - LEAD, 3), key) for at, key in desk.world.notes(channel)]


def modes(desk: Desk, seconds: float) -> list[tuple[Mode, int]]:
    """The modes and steps the session comes through in some seconds."""
    seen = [(desk.session.mode, desk.session.step)]
    end = desk.seconds + seconds
    while desk.seconds < end:
        desk.wait(FRAME)
        now = (desk.session.mode, desk.session.step)
        if now != seen[-1]:
            seen.append(now)
    return seen


def test_a_run_counts_in_and_goes_to_the_end() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.go(desk.session.at(5))
    desk.run()
    assert modes(desk, 9) == [
        (Mode.COUNT_IN, 5), (Mode.RUNNING, 5), (Mode.RUNNING, 6), (Mode.RUNNING, 7),
        (Mode.STOPPED, 7),
    ]  # fmt: skip
    assert starts(desk) == [(2.0, 69), (4.0, 71), (6.0, 72)]
    assert [at for at, _ in starts(desk, CLICK)] == [0.5 * beat for beat in range(16)]
    assert desk.done == [Done(5, 7, Fraction(1), clean=True, whole=True, kind=Mode.RUNNING)]
    assert not desk.sounds
    assert not desk.world.port.sounding


def test_two_bars_are_counted_in_if_the_player_likes() -> None:
    desk = Desk(EIGHT, guide_tune="on", click_count="2 bars")
    desk.run()
    desk.wait(4.5)
    assert starts(desk) == [(4.0, 60)]


def test_a_run_that_is_stopped_was_played_so_far() -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(LEAD + 3 * BAR + 0.2)
    desk.halt()
    desk.done += desk.conductor.take_done()
    assert (desk.session.mode, desk.session.step) == (Mode.STOPPED, 2)
    assert desk.done == [Done(0, 1, Fraction(1), clean=True, whole=False, kind=Mode.RUNNING)]
    assert desk.conductor.take_done() == []


def test_a_run_stopped_while_it_counts_played_nothing() -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(1)
    desk.halt()
    assert desk.conductor.take_done() == []
    assert desk.session.mode is Mode.STOPPED


def test_a_short_run_that_nobody_looked_at_is_over_all_the_same() -> None:
    desk = Desk(EIGHT)
    desk.go(desk.session.at(6))
    desk.run()
    desk.world.pass_time(30)  # the screen was held up
    desk.look()
    assert (desk.session.mode, desk.session.step) == (Mode.STOPPED, 7)
    assert desk.done == [Done(6, 7, Fraction(1), clean=True, whole=True, kind=Mode.RUNNING)]


def test_listening_plays_every_part_and_then_waits_at_the_start_of_the_passage() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.session.at(1).starting_here().at(2).ending_here().at(6)
    desk.listen()
    assert modes(desk, 7) == [
        (Mode.COUNT_IN, 1), (Mode.LISTENING, 1), (Mode.LISTENING, 2), (Mode.WAITING, 1),
    ]  # fmt: skip
    assert starts(desk) == [(2.0, 62), (4.0, 64)]
    assert [bool(desk.world.notes(channel)) for channel in (2, 3)] == [True, True]
    assert [done.kind for done in desk.done] == [Mode.LISTENING]
    desk.run()
    assert desk.session.mode is Mode.COUNT_IN


def test_listening_waits_where_it_began_though_the_passage_is_another_by_then() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.session.at(1).starting_here()
    desk.listen()
    desk.session = desk.session.at(5).starting_here()
    desk.wait(5)
    assert (desk.session.mode, desk.session.step) == (Mode.WAITING, 1)


def test_a_passage_is_looped_with_a_bar_that_leads_into_each_round() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.session = desk.session.at(2).starting_here().at(3).ending_here().at(7)
    desk.loop()
    laps = []
    for _ in range(9):
        laps.append(desk.session.lap)
        desk.wait(BAR)
    assert starts(desk) == [
        (2.0, 64), (4.0, 65), (8.0, 64), (10.0, 65), (14.0, 64), (16.0, 65),
    ]  # fmt: skip
    assert laps == [1, 1, 1, 1, 2, 2, 2, 3, 3]
    assert desk.done == [
        Done(2, 3, Fraction(1), clean=True, whole=True, kind=Mode.LOOPING)
    ] * 2  # fmt: skip
    desk.halt()
    assert desk.session.lap == 0


def test_without_a_passage_the_section_is_looped() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.go(desk.session.at(5))
    desk.loop()
    desk.wait(13)
    assert [key for _, key in starts(desk)] == [67, 69, 71, 72, 67]
    assert desk.session.step == 4


def test_a_loop_over_a_jump_goes_by_the_play_order() -> None:
    song = song_of("tempo 120\n\nchords |: C | Dm :| Em |\ntune | C4:4 | D4:4 | E4:4 |")
    desk = Desk(song, guide_tune="on")
    desk.session = desk.session.at(1).starting_here().at(2).ending_here()
    desk.loop()
    desk.wait(9)
    assert [key for _, key in starts(desk)] == [62, 60, 62]  # the repeat is between them


def test_a_ladder_climbs_after_each_clean_round_up_to_the_goal() -> None:
    desk = Desk(EIGHT, guide_tune="on", ladder_step="1 metronome mark")
    desk.session = desk.session.at(0).starting_here()
    for _ in range(3):
        desk.faster(up=False)
    assert desk.session.tempo == 108  # 116, 112, 108
    desk.loop()
    desk.wait(30)
    # Each round: a bar counted in and a bar, at 108, 112, 116, 120, 120 quarters a minute.
    moment, expected = 0.0, []
    for tempo in (108, 112, 116, 120, 120, 120):
        expected.append(moment + 240 / tempo)
        moment += 2 * 240 / tempo
    assert [at for at, _ in starts(desk)][:6] == pytest.approx(expected, abs=0.001)
    assert [done.scale * 120 for done in desk.done][:5] == [108, 112, 116, 120, 120]
    assert desk.session.tempo == 120


def test_a_round_with_a_mark_is_not_clean_and_the_ladder_waits() -> None:
    desk = Desk(EIGHT, ladder_step="1 metronome mark")
    desk.session = desk.session.at(0).starting_here()
    for _ in range(3):
        desk.faster(up=False)
    desk.loop()
    desk.wait(3)
    desk.mark()
    desk.wait(20)
    assert [done.clean for done in desk.done][:3] == [False, True, True]
    assert [done.scale * 120 for done in desk.done][:4] == [108, 108, 112, 116]


def test_another_ladder_holds_for_the_loop_that_goes_on() -> None:
    desk = Desk(EIGHT)
    desk.session = desk.session.at(0).starting_here()
    for _ in range(3):
        desk.faster(up=False)
    desk.loop()
    desk.wait(3)
    desk.change("ladder.step", "2 metronome marks")
    desk.wait(20)
    assert [done.scale * 120 for done in desk.done][:3] == [108, 116, 120]


def test_a_tempo_holds_from_the_next_bar_line_on() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.run()
    desk.wait(LEAD + BAR + 1)
    desk.tempo(desk.session.at_tempo(Fraction(240)))
    desk.wait(4)
    assert [at for at, _ in starts(desk)][:4] == [2.0, 4.0, 5.0, 6.0]


def test_a_tempo_in_a_loop_holds_from_the_next_bar_line_on() -> None:
    desk = Desk(EIGHT, guide_tune="on", ladder_step="1 metronome mark")
    desk.session = desk.session.at(0).starting_here().at(1).ending_here()
    desk.tempo(desk.session.at_tempo(Fraction(60)))
    desk.loop()  # four seconds a bar
    desk.wait(LEAD + 4 + 1)
    desk.tempo(desk.session.at_tempo(Fraction(120)))
    desk.wait(9)
    assert [at for at, _ in starts(desk)][:3] == [4.0, 8.0, 12.0]
    assert desk.session.tempo == 120


def test_meters_and_tempos_change_within_the_song() -> None:
    song = song_of(
        "tempo 120\n\nchords | C |\ntune | C4:4 |\n\n"
        "meter 6/8\ntempo 60\n\nchords | D |\ntune | D4:3 |\n\n"
        "meter 3/4\ntempo 90\n\nchords | E |\ntune | E4:3 |"
    )
    desk = Desk(song, guide_tune="on")
    desk.run()
    desk.wait(9)
    # 4/4 at 120: 2 s; 6/8 at 60 dotted quarters: 2 s; 3/4 at 90: 2 s.
    assert starts(desk) == [(2.0, 60), (4.0, 62), (6.0, 64)]
    # Clicks: four and four; two; three.
    assert [at for at, _ in starts(desk, CLICK)] == [
        *(0, 0.5, 1, 1.5), *(2, 2.5, 3, 3.5), *(4, 5), *(6, 6.667, 7.333),
    ]  # fmt: skip
    assert desk.session.mode is Mode.STOPPED


def test_a_part_that_is_turned_on_begins_at_the_next_bar_line() -> None:
    desk = Desk(EIGHT, guide_tune_program="organ")
    desk.run()
    desk.wait(LEAD + BAR + 1)
    desk.toggle(Part.TUNE)
    desk.wait(BAR)
    assert starts(desk) == [(4.0, 62)]
    # General MIDI level 1: program 17, the drawbar organ; before the first note.
    sent = [message for _, message in desk.world.port.sent]
    assert sent.index(bytes([0xC3, 16])) < sent.index(bytes([0x93, 62, 84]))
    desk.toggle(Part.TUNE)
    desk.wait(4 * BAR)
    assert starts(desk) == [(4.0, 62)]


@pytest.mark.parametrize("before", [0.001, 0.01, 0.04])
@pytest.mark.parametrize("latency", [0.0, 0.005, 0.03])
def test_a_change_just_before_a_bar_line_comes_whole(before: float, latency: float) -> None:
    desk = Desk(EIGHT, latency, guide_tune_program="organ", guide_tune_volume="soft")
    desk.run()
    desk.wait(LEAD + latency + 2 * BAR - before)
    desk.toggle(Part.TUNE)
    desk.wait(2 * BAR)
    sent = [message for _, message in desk.world.port.sent]
    struck = [key for _, key in desk.world.notes(TUNE)]
    assert struck[:1] in ([62], [64])  # at this bar line or the next one
    assert bytes([0xC3, 16]) in sent
    assert bytes([0xB3, 7, 64]) in sent


def test_a_late_sound_delays_the_place_and_no_change_is_lost() -> None:
    desk = Desk(EIGHT, offset="300 ms", guide_tune_program="organ")
    desk.run()
    desk.wait(LEAD + 2 * BAR + 0.1)
    assert desk.session.step == 0  # the second bar sounds, but is not heard yet
    desk.toggle(Part.TUNE)
    desk.wait(0.3)
    assert desk.session.step == 1
    desk.wait(BAR)
    assert starts(desk) == [(6.0, 64)]
    assert bytes([0xC3, 16]) in [message for _, message in desk.world.port.sent]


def test_an_offset_that_grows_on_the_way_is_waited_for() -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(LEAD + BAR + 0.1)
    assert desk.session.mode is Mode.RUNNING
    desk.change("offset", "300 ms")
    assert modes(desk, BAR + 0.5) == [(Mode.RUNNING, 0), (Mode.RUNNING, 1)]


def test_the_last_bar_can_be_changed_too() -> None:
    desk = Desk(EIGHT)
    desk.go(desk.session.end())
    desk.run()
    desk.wait(LEAD + BAR + 1)
    desk.toggle(Part.TUNE)
    desk.faster()
    desk.shift(1)
    desk.wait(2)
    assert desk.session.mode is Mode.STOPPED


def test_another_key_sounds_from_the_next_bar_on_at_the_same_place() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.run()
    desk.wait(LEAD + BAR + 1)
    desk.shift(2)
    desk.wait(BAR)
    assert starts(desk) == [(2.0, 60), (4.0, 64)]  # D4, two semitones up
    assert desk.session.step == 1


def test_a_gap_click_is_silent_and_sounds_again_once_it_is_off() -> None:
    desk = Desk(EIGHT, click_gap="1 on, 3 silent")
    desk.run()
    desk.wait(LEAD + 3 * BAR + 0.5)
    assert len(desk.world.notes(CLICK)) == 8  # four counted, one bar, two silent so far
    assert desk.where is not None
    assert desk.where.turn.silent
    desk.change("click.gap", "off")
    desk.wait(BAR)
    assert [at for at, _ in starts(desk, CLICK)][8:] == [8.0, 8.5]


def test_a_tie_sounds_on_where_a_portion_ends() -> None:
    ends = PORTION - 1  # the last bar of the first portion
    tune = [f"{'C4' if n in {ends, ends + 1} else 'E4'}:4{'~' * (n == ends)}" for n in range(60)]
    song = song_of("tempo 480\n\ntune | " + " | ".join(tune) + " |")
    desk = Desk(song, guide_tune="on")
    desk.run()
    desk.wait(40)
    assert [key for _, key in starts(desk)] == [64] * ends + [60] + [64] * (60 - ends - 2)
    sent = desk.world.port.sent
    (on,) = [at for at, message in sent if message[:2] == bytes([0x93, 60])]
    (off,) = [at for at, message in sent if message[:2] == bytes([0x83, 60])]
    assert off - on == pytest.approx(2 * 0.5, abs=0.01)  # two bars of half a second


def test_a_long_run_never_waits_for_its_bars() -> None:
    count = 2 * PORTION + AHEAD
    tune = [f"{'C4' if n % 2 else 'D4'}:4" for n in range(count)]
    song = song_of("tempo 480\n\ntune | " + " | ".join(tune) + " |")
    desk = Desk(song, guide_tune="on")
    desk.run()
    desk.wait(0.5 * count + 2)
    found = starts(desk)
    assert len(found) == count
    assert [at for at, _ in found] == pytest.approx([0.5 + 0.5 * n for n in range(count)], abs=2e-3)
    assert desk.session.mode is Mode.STOPPED


def test_a_fermata_holds_the_run_and_the_place_and_what_sounds() -> None:
    plain = song_of("tempo 120\n\nchords | C | F |\ntune | C4:2 D4:2 | E4:4 |")
    first, second = plain.bars
    held = Bar(
        first.number, first.meter, first.key, first.tempo, first.feel, first.length,
        changes=first.changes, tune=first.tune, fermatas=(Fraction(2),),
    )  # fmt: skip
    chart = Chart("T", (Section("", (held, second)),))
    desk = Desk(Song(plain.path, chart, unroll(chart)), guide_tune="on", guide_chords="on")
    assert desk.settings.click.hold == 2
    desk.run()
    desk.wait(LEAD + BAR + 1.5)
    places = set()
    sounding = set(desk.world.port.sounding)
    desk.wait(0.45)
    for _ in range(20):  # from 2.0 s after the bar's start on it holds for a second
        desk.wait(0.05)
        assert desk.where is not None
        places.add(desk.where.place)
        assert desk.session.step == 0
        assert {note for note in desk.world.port.sounding if note[0] != CLICK - 1} >= {
            note for note in sounding if note[0] != CLICK - 1
        }
    assert max(places) < 4
    assert len(places) <= 2
    desk.wait(BAR + 1)
    assert starts(desk) == [(2.0, 60), (3.0, 62), (5.0, 64)]  # a second later than written


def test_a_hold_that_is_changed_while_it_holds_moves_no_place() -> None:
    plain = song_of("tempo 120\n\nchords | C | F |")
    first, second = plain.bars
    held = Bar("1", tempo=first.tempo, changes=first.changes, fermatas=(Fraction(0),))
    chart = Chart("T", (Section("", (held, second)),))
    desk = Desk(Song(plain.path, chart, unroll(chart)))
    desk.run()
    desk.wait(LEAD + BAR + 1.0)  # held since half a second, for another half
    assert desk.where is not None
    before = desk.where.place
    desk.change("click.hold", SETTINGS["click.hold"].values[0])
    assert desk.settings.click.hold == 0
    desk.look()
    assert desk.where.place == before


def test_taps_set_the_tempo() -> None:
    desk = Desk(EIGHT)
    for _ in range(4):
        desk.tap()
        desk.wait(0.4)
    assert desk.session.tempo == 150


def test_a_lost_clock_stops_the_session_where_it_was() -> None:
    desk = Desk(EIGHT)
    desk.run()
    desk.wait(LEAD + 2 * BAR + 0.5)
    desk.world.clock.lost(Remedy.AGAIN)
    desk.look()
    assert (desk.session.mode, desk.session.step) == (Mode.STOPPED, 1)
    assert [done.whole for done in desk.done] == [False]
