"""Fermatas and groups of meters stay, whatever is done to a chart."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.charts_at_random import charts

from chartwalk.chart import Chart
from chartwalk.depth import Depth, at_depth
from chartwalk.leadfile import loads
from chartwalk.roadmap import unroll
from chartwalk.song import Song
from chartwalk.transpose import transpose
from chartwalk.unrolled import unrolled

TEXT = (
    "title T\nmeter 2+2+3/8\n\nroad | fermata@5 | fermata |\n"
    "chords |: Fmaj9@1 G7b9@5 | Csus4/G :|\ntune | C4:2 D4:1.5 | E4:3.5 |\n\n"
    "meter 3+2/4\nroad | fermata@1, fermata |\nchords | C@1 G@5 |\n"
)

quick = settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])


def held(chart: Chart) -> list[tuple[str, tuple[Fraction, ...]]]:
    return [(str(bar.meter), bar.fermatas) for bar in chart.bars]


@quick
@given(charts(octaves=(2, 6)), st.integers(-11, 11))
def test_in_another_key(chart: Chart, semitones: int) -> None:
    assert held(transpose(chart, semitones)) == held(chart)


@quick
@given(charts(octaves=(2, 6)), st.sampled_from(Depth))
def test_at_another_depth(chart: Chart, depth: Depth) -> None:
    assert held(at_depth(chart, depth)) == held(chart)


@pytest.mark.parametrize("depth", Depth)
def test_written_out_as_played(depth: Depth) -> None:
    chart = at_depth(loads(TEXT).chart, depth)
    played = held(unrolled(Song(Path("x.lead"), chart, unroll(chart))))
    first, second, last = ("2+2+3/8", (Fraction(2),)), ("2+2+3/8", (Fraction(0),)), "3+2/4"
    assert played == [first, second, first, second, (last, (Fraction(0), Fraction(4)))]
