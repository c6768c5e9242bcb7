"""Songs written out in play order: the road is straight, and nothing changes to the ear."""

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from tests.charts_at_random import charts

from chartwalk.chart import Chart, RoadMark, Section, Sign
from chartwalk.chord import ChordSymbol
from chartwalk.files import open_song
from chartwalk.leadfile import loads
from chartwalk.problems import ChartError
from chartwalk.roadmap import unroll
from chartwalk.song import Song
from chartwalk.tune import tune_of
from chartwalk.unrolled import unrolled

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))

quick = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])


def song(chart: Chart) -> Song:
    return Song(Path("x.lead"), chart, unroll(chart))


def of(text: str, meter: str = "4/4") -> Song:
    return song(loads(f"title T\nmeter {meter}\n\n{text}\n").chart)


@st.composite
def songs(draw: DrawFn) -> Song:
    """A chart at random with a repeat, endings and a jump that can be walked."""
    chart = draw(charts())
    bars = chart.bars
    last = len(bars) - 1
    marks: dict[int, list[RoadMark]] = defaultdict(list)
    close = draw(st.integers(0, last))
    start = draw(st.integers(0, close))
    marks[start].append(RoadMark(Sign.REPEAT_START))
    times = draw(st.integers(2, 3))
    marks[close].append(RoadMark(Sign.REPEAT_END, times=times))
    if close < last and draw(st.booleans()):
        first = draw(st.integers(start, close))
        marks[first].append(RoadMark(Sign.ENDING, passes=tuple(range(1, times))))
        marks[close + 1].append(RoadMark(Sign.ENDING, passes=(times,)))
    jump = draw(st.sampled_from([None, Sign.DC, Sign.DS, Sign.DC_AL_FINE]))
    if jump:
        marks[last].append(RoadMark(jump))
    if jump is Sign.DS:
        marks[draw(st.integers(0, last))].append(RoadMark(Sign.SEGNO))
    if jump is Sign.DC_AL_FINE:
        marks[draw(st.integers(0, last))].append(RoadMark(Sign.FINE))
    marked = iter(
        replace(bar, marks=tuple(marks[index]), double=False) for index, bar in enumerate(bars)
    )
    sections = tuple(
        Section(section.name, tuple(next(marked) for _ in section.bars))
        for section in chart.sections
    )
    try:
        return song(replace(chart, sections=sections))
    except ChartError:  # a Fine that is never reached, say
        assume(False)
        raise


def heard(symbol: ChordSymbol | None) -> ChordSymbol | None:
    """A chord as it is heard: before the first one there is none, as in N.C."""
    return None if symbol is None or symbol.silent else symbol


def chords(found: Song) -> list[tuple[int, Fraction, ChordSymbol | None]]:
    """Where the harmony changes to the ear, step by step."""
    changes: list[tuple[int, Fraction, ChordSymbol | None]] = []
    for number, step in enumerate(found.steps * found.rounds):
        for sounding in found.soundings[step.bar]:
            symbol = heard(sounding.symbol)
            if not changes or changes[-1][2] != symbol or not sounding.held:
                changes.append((number, sounding.at, symbol))
    return changes


def without_repeats(
    changes: list[tuple[int, Fraction, ChordSymbol | None]],
) -> list[tuple[int, Fraction, ChordSymbol | None]]:
    return [each for each, before in zip(changes, [None, *changes], strict=False)
            if before is None or before[2] != each[2]]  # fmt: skip


def sung(found: Song) -> list[list[tuple[object, ...]]]:
    """The notes and words of every step; a syllable that holds over is none."""
    return [
        [
            (note.at, note.length, note.pitch, note.held,
             (note.syllable and note.syllable.text) or "",
             bool(note.syllable and note.syllable.joined))
            for note in tune_of(found, step, round_)
        ]
        for round_ in range(found.rounds)
        for step in found.steps
    ]  # fmt: skip


def check(found: Song) -> None:
    written = unrolled(found)
    straight = song(written)
    assert [step.bar for step in straight.steps] == list(range(len(found.steps) * found.rounds))
    assert all(not bar.marks and len(bar.words) <= 1 for bar in written.bars)
    assert without_repeats(chords(straight)) == without_repeats(chords(found))
    assert sung(straight) == sung(found)
    for step, bar in zip(found.steps * found.rounds, written.bars, strict=True):
        old = found.bars[step.bar]
        assert (bar.meter, bar.key, bar.tempo, bar.feel, bar.length, bar.pickup, bar.double) == (
            old.meter, old.key, old.tempo, old.feel, old.length, old.pickup, old.double,
        )  # fmt: skip
    assert replace(written, sections=found.chart.sections) == found.chart
    assert unrolled(straight).bars == written.bars


@quick
@given(songs())
def test_any_song_sounds_as_before(found: Song) -> None:
    check(found)


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_the_demo_songs_sound_as_before(path: Path) -> None:
    check(open_song(path))


def shown(chart: Chart, what: str) -> list[str]:
    """The chords, the tune or the words of each bar, as they are typed."""
    if what == "chords":
        return [" ".join(change.symbol.text for change in bar.changes) for bar in chart.bars]
    if what == "tune":
        return [
            " ".join(f"{note.pitch or 'r'}{'~' * note.tied}" for note in bar.tune)
            for bar in chart.bars
        ]
    return [
        " ".join((syllable.text or "_") + "-" * syllable.joined for syllable in verse)
        for bar in chart.bars
        for verse in bar.words or ((),)
    ]


def test_sections_say_which_time_it_is() -> None:
    written = unrolled(
        of(
            "section Verse\nchords |: C | F :|\n\nsection Bridge\nroad | segno | |\n"
            "chords | G | D |\n\nsection\nroad | | ds |\nchords | A | E |"
        )
    )
    assert [(section.name, len(section.bars)) for section in written.sections] == [
        ("Verse", 2), ("Verse, 2nd time", 2), ("Bridge", 2), ("", 2),
        ("Bridge, 2nd time", 2), ("2nd time", 2),
    ]  # fmt: skip
    assert [bar.number for bar in written.bars] == [str(number) for number in range(1, 13)]


def test_an_ending_goes_on_with_its_section() -> None:
    written = unrolled(
        of("section Verse\nroad | | 1. | 2. | |\nchords |: C | F :| G | C |")
    )  # fmt: skip
    assert [(section.name, len(section.bars)) for section in written.sections] == [
        ("Verse", 2), ("Verse, 2nd time", 3),
    ]  # fmt: skip
    assert shown(written, "chords") == ["C", "F", "C", "G", "C"]


def test_a_pickup_keeps_its_place_and_number() -> None:
    written = unrolled(of("road | pickup | | dc |\nchords | | C | G |\ntune | r:1 | C4:4 | D4:4 |"))
    assert [(bar.number, bar.pickup) for bar in written.bars] == [
        ("0", True), ("1", False), ("2", False), ("2", True), ("3", False), ("4", False),
    ]  # fmt: skip


def test_a_chord_held_from_paper_is_written_after_a_jump() -> None:
    """Bar 2 holds the C of bar 1; the second time it comes after bar 3 and its G."""
    assert shown(unrolled(of("chords | C |: | G :|")), "chords") == ["C", "", "G", "C", "G"]


def test_a_chord_that_sounds_already_is_not_written_again() -> None:
    assert shown(unrolled(of("chords | C |: | C :|")), "chords") == ["C", "", "C", "", "C"]


def test_a_bar_before_the_first_chord_has_none_the_second_time_either() -> None:
    assert shown(unrolled(of("road | | dc |\nchords | | G |")), "chords") == ["", "G", "N.C.", "G"]


def test_every_pass_sings_its_own_words() -> None:
    found = of(
        "chords |: C :| G |\ntune | C4:2 D4:2 | E4:4 |\n"
        "words | lan- tern | out |\nwords 2 | har- bour | |"
    )
    assert shown(unrolled(found), "words") == ["lan- tern", "har- bour", "out"]


# Whether a tie leads on as played, and whether the first note sings, on paper and as played:
# a struck note that sings nothing holds the syllable before.
TIES = {
    "on paper and as played": (
        "tune |: C4:4~ | C4:2 D4:2~ :| D4:4 |\nwords | one | two | |",
        ["C4~", "C4 D4", "C4~", "C4 D4~", "D4"],
        ["one", "two", "one", "two", ""],
    ),
    "into a bar that sings": (
        "tune |: C4:4 | C4:4~ :|\nwords | one | two |",
        ["C4", "C4", "C4", "C4"],
        ["one", "two", "one", "two"],
    ),
    "into a bar without words": (
        "tune |: C4:4 | C4:4~ :|\nwords | | two |",
        ["C4", "C4~", "C4", "C4"],
        ["", "two", "", "two"],
    ),
    "on paper alone": (
        "tune | C4:4~ |: C4:2 D4:2 | E4:4 :|\nwords | one | two | three |",
        ["C4~", "C4 D4", "E4", "C4 D4", "E4"],
        ["one", "two", "three", "_ two", "three"],
    ),
    "to nothing": ("tune | C4:4 | D4:4~ |", ["C4", "D4"], ["", ""]),
}


@pytest.mark.parametrize("case", TIES)
def test_ties(case: str) -> None:
    rows, tune, words = TIES[case]
    found = of(rows)
    written = unrolled(found)
    assert shown(written, "tune") == tune
    assert shown(written, "words") == words
    check(found)
