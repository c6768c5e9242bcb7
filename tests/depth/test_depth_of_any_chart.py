"""Charts at random, at every depth."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from chartwalk.chart import Bar, Change, Chart, Note, RoadMark, Section, Sign
from chartwalk.chord import ChordSymbol
from chartwalk.depth import Depth, at_depth, left_out
from chartwalk.key import Key
from chartwalk.leadfile import read
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch
from chartwalk.transpose import transpose

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
# Few roots and many kinds, so that chords meet on one root, fall a fifth and come back.
SYMBOLS = [
    ChordSymbol.parse(root + kind)
    for root in ("C", "F", "G", "D")
    for kind in ("", "m", "7", "maj7", "m7b5", "+", "sus4", "7sus4", "sus2", "5", "/E", "7alt")
] + [ChordSymbol.parse("N.C.")]
METERS = [Meter.parse(text) for text in ("4/4", "3/4", "2/4", "6/8", "2/2", "5/4", "7/8", "3/8")]
PITCHES = [None, *(Pitch.parse(text) for text in ("C4", "C#4", "D4", "Eb4", "F4", "G4", "B4"))]
EIGHTH = Fraction(1, 2)

often = settings(max_examples=60)


@st.composite
def bars(draw: DrawFn, number: int) -> Bar:
    meter = draw(st.sampled_from(METERS))
    eighths = int(meter.quarters / EIGHTH)
    pickup = eighths > 1 and draw(st.integers(0, 5)) == 0
    if pickup:
        eighths = draw(st.integers(1, eighths - 1))
    places = draw(st.sets(st.integers(0, eighths - 1), max_size=eighths))
    cuts = sorted({0, eighths, *draw(st.sets(st.integers(0, eighths), max_size=4))})
    tune = tuple(
        Note(draw(st.sampled_from(PITCHES)), (stop - start) * EIGHTH)
        for start, stop in pairwise(cuts)
    )
    signs = draw(st.sets(st.sampled_from(list(Sign)), max_size=1))
    return Bar(
        str(number),
        meter,
        draw(st.sampled_from([Key(), Key(0, "minor"), Key(-1), Key(2)])),
        length=eighths * EIGHTH,
        pickup=pickup,
        changes=tuple(
            Change(place * EIGHTH, draw(st.sampled_from(SYMBOLS))) for place in sorted(places)
        ),
        tune=tune if pickup or draw(st.booleans()) else (),
        marks=tuple(RoadMark(sign, passes=(1,)) for sign in signs),
    )


@st.composite
def charts(draw: DrawFn) -> Chart:
    sizes = draw(st.lists(st.integers(1, 3), min_size=1, max_size=2))
    return Chart(
        "T",
        tuple(
            Section(f"Section {size}", tuple(draw(bars(number)) for number in range(size)))
            for size in sizes
        ),
    )


@often
@given(charts(), st.integers(-12, 12))
def test_what_stays_does_not_depend_on_the_key(chart: Chart, shift: int) -> None:
    for depth in (Depth.LEAN, Depth.PLAIN):
        here, there = (at_depth(one, depth) for one in (chart, transpose(chart, shift)))
        places = [[change.at for change in bar.changes] for bar in here.bars]
        assert [[change.at for change in bar.changes] for bar in there.bars] == places


def sounding(chart: Chart) -> Iterator[dict[Fraction, ChordSymbol | None]]:
    """Yield, for each bar, the chord that sounds at each eighth."""
    held: ChordSymbol | None = None
    for bar in chart.bars:
        changes = {change.at: change.symbol for change in bar.changes}
        found = {}
        for eighth in range(int(bar.length / EIGHTH)):
            held = changes.get(eighth * EIGHTH, held)
            found[eighth * EIGHTH] = held
        yield found


@pytest.mark.parametrize("depth", [Depth.LEAN, Depth.PLAIN])
@often
@given(charts())
def test_only_changes_differ(depth: Depth, chart: Chart) -> None:
    played = at_depth(chart, depth)
    assert replace(played, sections=chart.sections) == chart
    for section, old in zip(played.sections, chart.sections, strict=True):
        assert replace(section, bars=old.bars) == old
    for bar, before in zip(played.bars, chart.bars, strict=True):
        assert replace(bar, changes=before.changes) == before
        assert {change.at for change in bar.changes} <= {change.at for change in before.changes}
        assert bar is before or bar.changes != before.changes


@pytest.mark.parametrize("depth", [Depth.LEAN, Depth.PLAIN])
@often
@given(charts())
def test_a_depth_twice_is_the_depth_once(depth: Depth, chart: Chart) -> None:
    played = at_depth(chart, depth)
    assert at_depth(played, depth) is played


@settings(max_examples=10)
@given(charts())
def test_written_is_the_chart(chart: Chart) -> None:
    assert at_depth(chart, Depth.WRITTEN) is chart


@often
@given(charts())
def test_lean_plays_written_changes_and_tells_of_the_others(chart: Chart) -> None:
    lean = at_depth(chart, Depth.LEAN)
    heard = sounding(lean)
    rows = zip(chart.bars, lean.bars, left_out(chart, lean), heard, strict=True)
    for before, bar, missing, chords in rows:
        assert set(bar.changes) <= set(before.changes)
        for change in before.changes:
            told = change in missing
            same = change.symbol == chords[change.at]
            triads_only = chords[change.at] in triads_of(change.symbol)
            assert told != same or (triads_only and not told)
        assert before.changes[:1] == bar.changes[:1] or before.changes[0].at > 0


def triads_of(symbol: ChordSymbol) -> set[ChordSymbol]:
    root = symbol.root.ascii if symbol.root else "N.C."
    kinds = ("", "m", "dim", "aug", "sus4", "sus2", "5") if symbol.root else ("",)
    return {ChordSymbol.parse(root + kind) for kind in kinds}


@often
@given(charts())
def test_plain_sounds_the_triad_of_every_chord(chart: Chart) -> None:
    plain = at_depth(chart, Depth.PLAIN)
    for asked, heard in zip(sounding(chart), sounding(plain), strict=True):
        for at, symbol in asked.items():
            triad = heard[at]
            assert (symbol is None) == (triad is None)
            if symbol is None or triad is None:
                continue
            assert (triad.root, triad.bass, triad.silent) == (symbol.root, None, symbol.silent)
            assert len(triad.palette.tones) == (
                0 if symbol.silent else 2 if "5" in triad.text else 3
            )
            assert triad in triads_of(symbol)
    assert not any(left_out(chart, plain))
    for written, bar in zip(chart.bars, plain.bars, strict=True):
        assert [c.at for c in written.changes[:1]] == [c.at for c in bar.changes[:1]]
        symbols = [change.symbol for change in bar.changes]
        assert all(one != two for one, two in pairwise(symbols))


@pytest.mark.parametrize("depth", Depth)
@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_the_demo_songs_at_every_depth(path: Path, depth: Depth) -> None:
    chart = read(path).chart
    played = at_depth(chart, depth)
    assert [bool(bar.changes) for bar in played.bars] == [bool(bar.changes) for bar in chart.bars]
    assert at_depth(played, depth) is played
