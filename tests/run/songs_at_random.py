"""Songs at random, as a run plays them: any bars, in any order a road may lead to."""

from fractions import Fraction
from pathlib import Path

from hypothesis import strategies as st
from tests.charts_at_random import METERS, OCTAVES, changes, cuts, tempos, tunes

from chartwalk.chart import Bar, Chart, Section
from chartwalk.meter import Meter
from chartwalk.roadmap import Step
from chartwalk.song import Song

GROUPED = ["3+2/4", "2+3/8", "2+2+3/8", "3+3+2/8"]


@st.composite
def bars(draw: st.DrawFn) -> Bar:
    """Any bar but its words and road marks, which nothing of a run depends on."""
    meter = Meter.parse(draw(st.sampled_from([*METERS, *GROUPED])))
    pickup = draw(st.integers(0, 4)) == 0
    part = min(draw(cuts.filter(bool))) if pickup else Fraction(1)
    length = part * meter.quarters
    held = draw(cuts) if draw(st.booleans()) else set()
    return Bar(
        "1",
        meter,
        tempo=draw(tempos),
        feel=draw(st.sampled_from(["straight", "swing"])),
        length=length,
        pickup=pickup,
        changes=draw(changes(meter, length)),
        tune=draw(tunes(length, OCTAVES)) if pickup or draw(st.booleans()) else (),
        fermatas=tuple(sorted({at * length for at in held})),
    )


@st.composite
def songs(draw: st.DrawFn) -> Song:
    """Some bars, played in any order."""
    found = draw(st.lists(bars(), min_size=1, max_size=5))
    chart = Chart("T", (Section("", tuple(found)),))
    order = draw(st.lists(st.integers(0, len(found) - 1), min_size=1, max_size=12))
    # As a rule the next bar is the next one on paper.
    straight = draw(st.booleans())
    order = list(range(len(found))) if straight else order
    steps = tuple(Step(index, bar, 1, None) for index, bar in enumerate(order))
    return Song(Path("t"), chart, steps)
