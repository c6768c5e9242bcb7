"""Charts at random, moved: what sounds moves by so many semitones, and the names stay readable."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from chartwalk.chart import Bar, Change, Chart, Note, Section, Syllable, sung
from chartwalk.chord import ChordSymbol
from chartwalk.key import MODES, Key
from chartwalk.leadfile import dumps, loads
from chartwalk.pitch import Interval, Name, Pitch
from chartwalk.transpose import interval_between, key_at, transpose

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
SUFFIXES = [
    *["", "m", "7", "maj7", "m7b5", "dim7", "+", "sus4", "6/9", "9(#11)", "(b5)", "7(b9,#11)"],
    *["m(add9)", "△9", "ø7", "°7", "5", "13b9", "alt", "no3"],
]
LENGTHS = [tuple(map(Fraction, row.split())) for row in ("4", "2 2", "3 1/2 1/2", "1 1 1 1")]

shifts = st.integers(-12, 12)
real_shifts = st.integers(-11, 11).filter(bool)
keys = st.builds(Key, st.integers(-7, 7), st.sampled_from(sorted(MODES)))
usual_keys = st.builds(Key, st.integers(-6, 6), st.sampled_from(sorted(MODES)))
any_names = st.builds(Name, st.sampled_from("ABCDEFG"), st.integers(-2, 2))
octaves = st.integers(0, 8)

quick = settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])


def scale(key: Key) -> set[Name]:
    """The notes of a key, in minor with the raised sixth and seventh: A B C D E F G, F# G#."""
    steps = [-1, 0, 1, 2, 3, 4, 5] + [6, 8] * (key.mode == "minor")
    return {Name.from_fifths(key.fifths + step) for step in steps}


@st.composite
def symbols(draw: DrawFn, names: st.SearchStrategy[Name]) -> ChordSymbol:
    text = draw(names).ascii + draw(st.sampled_from(SUFFIXES))
    if draw(st.booleans()):
        text += "/" + draw(names).ascii
    return ChordSymbol.parse("N.C." if draw(st.integers(0, 9)) == 0 else text)


@st.composite
def bars_after(draw: DrawFn, before: Bar | None, key: Key, usual: bool) -> Bar:
    """A bar with words for just the notes that are sung."""
    names = st.sampled_from(sorted(scale(key), key=str)) if usual else any_names
    pool = draw(st.lists(st.builds(Pitch, names, octaves) | st.none(), min_size=1, max_size=3))
    notes = tuple(
        Note(draw(st.sampled_from(pool)), length, draw(st.booleans()))
        for length in draw(st.sampled_from([(), *LENGTHS]))
    )
    changes = tuple(
        Change(Fraction(place), draw(symbols(names)))
        for place in sorted(draw(st.sets(st.integers(0, 3), max_size=3)))
    )
    bar = Bar("1", key=key, tune=notes, changes=changes)
    words = tuple(Syllable("la") for _ in sung(bar, before))
    return replace(bar, words=(words,) if words else ())


@st.composite
def charts(draw: DrawFn, usual: bool = False) -> Chart:
    """Charts of any names in any keys; ``usual``: of notes of the key, of up to six signs."""
    bars: list[Bar] = []
    key = Key()
    for _ in range(draw(st.integers(1, 5))):
        if not bars or draw(st.integers(0, 2)) == 0:
            key = draw(usual_keys if usual else keys)
        bars.append(draw(bars_after(bars[-1] if bars else None, key, usual)))
    parts = draw(st.integers(1, len(bars)))
    sections = [Section("A", tuple(bars[:parts]))]
    if bars[parts:]:
        sections.append(Section("B", tuple(bars[parts:])))
    voice = draw(st.none() | st.just((Pitch.parse("A3"), Pitch.parse("D5"))))
    return Chart("T", tuple(sections), credit="invented", note="n", voice=voice)


def neighbours(chart: Chart) -> list[tuple[Bar | None, Bar]]:
    """Each bar with the one before it on paper."""
    return list(zip([None, *chart.bars], chart.bars, strict=False))


@quick
@given(charts(), shifts)
def test_every_note_moves_by_just_so_many_semitones(chart: Chart, shift: int) -> None:
    moved = transpose(chart, shift)
    for before, after in zip(chart.bars, moved.bars, strict=True):
        assert [note.length for note in after.tune] == [note.length for note in before.tune]
        for old, new in zip(before.tune, after.tune, strict=True):
            assert (old.pitch is None) == (new.pitch is None)
            if old.pitch and new.pitch:
                assert new.pitch.midi == old.pitch.midi + shift


@quick
@given(charts(), shifts)
def test_the_notes_that_are_sung_stay_the_same(chart: Chart, shift: int) -> None:
    moved = transpose(chart, shift)
    assert [sung(bar, before) for before, bar in neighbours(moved)] == [
        sung(bar, before) for before, bar in neighbours(chart)
    ]


@quick
@given(charts(), shifts)
def test_every_chord_moves_by_just_so_many_semitones(chart: Chart, shift: int) -> None:
    moved = transpose(chart, shift)
    for before, after in zip(chart.bars, moved.bars, strict=True):
        assert [change.at for change in after.changes] == [change.at for change in before.changes]
        for old, new in zip(before.changes, after.changes, strict=True):
            assert new.symbol.degrees == old.symbol.degrees
            assert new.symbol.suffix == old.symbol.suffix
            assert (new.symbol.bass is None) == (old.symbol.bass is None)
            here, there = old.symbol.palette, new.symbol.palette
            assert [name.pitch_class for name in there.names] == [
                (name.pitch_class + shift) % 12 for name in here.names
            ]
            if here.bass and there.bass:
                assert there.bass.pitch_class == (here.bass.pitch_class + shift) % 12


@quick
@given(charts(), shifts)
def test_nothing_else_moves(chart: Chart, shift: int) -> None:
    moved = transpose(chart, shift)
    assert replace(moved, sections=()) == replace(chart, sections=())
    assert [section.name for section in moved.sections] == [
        section.name for section in chart.sections
    ]
    for before, after in zip(chart.bars, moved.bars, strict=True):
        assert after.key == key_at(before.key, shift)
        assert replace(after, key=before.key, changes=before.changes, tune=before.tune) == before


@quick
@given(charts(), st.sampled_from([-12, 12]))
def test_an_octave_keeps_every_name(chart: Chart, shift: int) -> None:
    for before, after in zip(chart.bars, transpose(chart, shift).bars, strict=True):
        assert after.key == before.key
        assert [change.symbol.display for change in after.changes] == [
            change.symbol.display for change in before.changes
        ]
        for old, new in zip(before.tune, after.tune, strict=True):
            octave = Pitch(old.pitch.name, old.pitch.octave + shift // 12) if old.pitch else None
            assert new == replace(old, pitch=octave)


@quick
@given(charts(), real_shifts)
def test_what_comes_out_can_be_read(chart: Chart, shift: int) -> None:
    for before, bar in neighbours(transpose(chart, shift)):
        own = scale(bar.key)
        for change in bar.changes:
            root, bass = change.symbol.root, change.symbol.bass
            if root:
                assert abs(root.alter) <= 1
                assert root.friendly is None or root in own
            if bass and abs(bass.alter) > 1:
                assert bass in change.symbol.palette.names
        for place in sung(bar, before):
            pitch = bar.tune[place].pitch
            assert pitch is not None
            assert abs(pitch.name.alter) <= 1 or pitch.name in own


@quick
@given(charts(usual=True), real_shifts)
def test_what_needs_no_respelling_moves_by_the_interval_of_its_key(
    chart: Chart, shift: int
) -> None:
    for before, after in zip(chart.bars, transpose(chart, shift).bars, strict=True):
        interval = interval_between(before.key, shift)
        for old, new in zip(before.changes, after.changes, strict=True):
            if old.symbol.root and readable(old.symbol, before.key, interval):
                assert new.symbol.root == old.symbol.root + interval
                assert new.symbol.bass == (old.symbol.bass and old.symbol.bass + interval)
        if not any(note.tied for bar in chart.bars for note in bar.tune):
            for note, moved in zip(before.tune, after.tune, strict=True):
                if note.pitch and abs((note.pitch + interval).name.alter) < 2:
                    assert moved.pitch == note.pitch + interval


@quick
@given(charts(), shifts)
def test_a_moved_chart_is_written_and_read_again(chart: Chart, shift: int) -> None:
    moved = transpose(chart, shift)
    assert loads(dumps(moved)).chart == moved


def readable(symbol: ChordSymbol, key: Key, interval: Interval) -> bool:
    """Whether a chord moved by an interval stays as it comes, in the key moved along."""
    if symbol.root is None:
        return True
    own = {name + interval for name in scale(key)}
    root, bass = symbol.root + interval, symbol.bass and symbol.bass + interval
    plain = root.friendly is None or (root in own and abs(root.alter) < 2)
    spelled = [root + degree.interval for degree in symbol.degrees]
    plain = plain and (root in own or all(abs(name.alter) < 2 for name in spelled))
    return plain and (bass is None or abs(bass.alter) < 2)


def comes_back(chart: Chart, shift: int) -> bool:
    """Whether the keys find back, no name, written or moved, is one to be respelled, and no tie
    stands between notes of two keys."""
    for before, bar in neighbours(chart):
        if key_at(key_at(bar.key, shift), -shift) != bar.key:
            return False
        if before and before.key != bar.key and before.tune and before.tune[-1].tied:
            return False
        for interval in (Interval(0, 0), interval_between(bar.key, shift)):
            own = {name + interval for name in scale(bar.key)}
            names = [(note.pitch + interval).name for note in bar.tune if note.pitch]
            if not all(abs(name.alter) < 2 or name in own for name in names):
                return False
            if not all(readable(change.symbol, bar.key, interval) for change in bar.changes):
                return False
    return True


@quick
@given(charts(usual=True), shifts)
def test_there_and_back_is_the_chart_as_written(chart: Chart, shift: int) -> None:
    assume(comes_back(chart, shift))
    assert transpose(transpose(chart, shift), -shift) == chart


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_there_and_back_with_the_demo_songs(path: Path) -> None:
    chart = loads(path.read_text(encoding="utf-8")).chart
    found = [shift for shift in range(-12, 13) if comes_back(chart, shift)]
    if path.stem == "lamp-on-the-step":
        assert not found, "its Gbdim7 is better called F#dim7 wherever it goes"
    else:
        assert len(found) > 6
    for shift in found:
        assert transpose(transpose(chart, shift), -shift) == chart
