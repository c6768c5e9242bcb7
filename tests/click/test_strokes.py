"""Where the strokes of the click fall, how strong they are, and what the player can choose.

References: Open Music Theory, meter; MSU open book, chapter 27, for the groups of asymmetric
meters. What is written without a source is common practice.
"""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.charts_at_random import charts

from chartwalk.chart import Bar, Chart
from chartwalk.click import Beats, Between, ClickStyle, Stress, strokes, swung
from chartwalk.meter import UNITS, Meter

MakeBar = Callable[..., Bar]

SIGNS = {Stress.FIRST: "F", Stress.GROUP: "G", Stress.BEAT: "b", Stress.BETWEEN: "."}


def written(bar: Bar, style: ClickStyle) -> str:
    """Write out the strokes of a bar: F first, G first of a group, b beat, . between; and where."""
    return " ".join(f"{SIGNS[stroke.stress]}{stroke.at}" for stroke in strokes(bar, style))


@pytest.mark.parametrize(
    ("meter", "groups", "expected"),
    [
        ("4/4", (), "F0 b1 b2 b3"),
        ("6/8", (), "F0 b3/2"),  # Open Music Theory: in two
        ("9/8", (), "F0 b3/2 b3"),
        ("12/8", (), "F0 b3/2 b3 b9/2"),
        ("5/4", ((3, 2),), "F0 b1 b2 G3 b4"),  # MSU open book: 3+2 or 2+3
        ("5/4", ((2, 3),), "F0 b1 G2 b3 b4"),
        ("2+3/4", ((3, 2),), "F0 b1 G2 b3 b4"),  # the sheet says so
        ("5/8", ((2, 3),), "F0 b1/2 G1 b3/2 b2"),
        ("7/8", ((2, 2, 3),), "F0 b1/2 G1 b3/2 G2 b5/2 b3"),  # MSU open book
        ("7/8", ((3, 2, 2),), "F0 b1/2 b1 G3/2 b2 G5/2 b3"),
        ("7/8", ((2, 3, 2),), "F0 b1/2 G1 b3/2 b2 G5/2 b3"),
        ("3+2+2/8", ((2, 2, 3),), "F0 b1/2 b1 G3/2 b2 G5/2 b3"),
        ("8/8", (), "F0 b1/2 b1 G3/2 b2 b5/2 G3 b7/2"),  # MSU open book: 3+3+2
        ("4+2+3/8", (), "F0 b1/2 b1 b3/2 G2 b5/2 G3 b7/2 b4"),
        ("4/4", ((3, 2),), "F0 b1 b2 b3"),
    ],
)
def test_every_beat_and_the_first_of_each_group(
    bar: MakeBar, meter: str, groups: tuple[tuple[int, ...], ...], expected: str
) -> None:
    assert written(bar(meter), ClickStyle(groups=groups)) == expected


@pytest.mark.parametrize(
    ("meter", "expected"),
    [
        ("4/4", "b1 b3"),  # two and four
        ("12/8", "b3/2 b9/2"),
        ("2/4", "b1"),
        ("3/4", "b1 b2"),  # two and three, as in a waltz
        ("6/8", "b3/2"),
        ("3/8", "F0"),  # one in a bar: there is no other
        ("1/4", "F0"),
        ("5/4", "b1 G3"),
    ],
)
def test_the_backbeat_alone(bar: MakeBar, meter: str, expected: str) -> None:
    assert written(bar(meter), ClickStyle(beats=Beats.BACKBEAT)) == expected


@pytest.mark.parametrize(
    ("meter", "bars", "groups"),
    [("4/4", "F0", "F0"), ("7/8", "F0", "F0 G1 G2"), ("5/4", "F0", "F0 G3"), ("6/8", "F0", "F0")],
)
def test_one_a_bar_and_one_a_group(bar: MakeBar, meter: str, bars: str, groups: str) -> None:
    assert written(bar(meter), ClickStyle(beats=Beats.BAR)) == bars
    assert written(bar(meter), ClickStyle(beats=Beats.GROUPS)) == groups


# Meter, feel, between, ratio, strokes. Places by hand: a ratio of 2 to 1 puts the second eighth on
# two thirds of the quarter, 3 to 1 on three quarters, 3 to 2 on three fifths.
BETWEEN = [
    ("2/4", "straight", Between.EIGHTHS, "2", "F0 .1/2 b1 .3/2"),
    ("2/4", "straight", Between.SWUNG, "2", "F0 .2/3 b1 .5/3"),
    ("2/4", "straight", Between.SWUNG, "3", "F0 .3/4 b1 .7/4"),
    ("2/4", "straight", Between.SWUNG, "3/2", "F0 .3/5 b1 .8/5"),
    ("2/4", "straight", Between.SWUNG, "1", "F0 .1/2 b1 .3/2"),
    ("2/4", "swing", Between.EIGHTHS, "2", "F0 .2/3 b1 .5/3"),  # the sheet says that they swing
    ("2/4", "straight", Between.TRIPLETS, "2", "F0 .1/3 .2/3 b1 .4/3 .5/3"),
    ("1/4", "straight", Between.SIXTEENTHS, "2", "F0 .1/4 .1/2 .3/4"),
    ("6/8", "straight", Between.EIGHTHS, "2", "F0 .1/2 .1 b3/2 .2 .5/2"),
    ("6/8", "swing", Between.EIGHTHS, "2", "F0 .1/2 .1 b3/2 .2 .5/2"),  # nothing halves the beat
    ("6/8", "straight", Between.SWUNG, "2", "F0 .1/2 .1 b3/2 .2 .5/2"),
    ("6/8", "straight", Between.TRIPLETS, "2", "F0 .1/2 .1 b3/2 .2 .5/2"),
    ("6/4", "straight", Between.TRIPLETS, "2", "F0 .1 .2 b3 .4 .5"),  # three to the beat
    ("6/16", "straight", Between.TRIPLETS, "2", "F0 .1/4 .1/2 b3/4 .1 .5/4"),
    ("6/16", "straight", Between.EIGHTHS, "2", "F0 .1/4 .1/2 b3/4 .1 .5/4"),  # none divides it
    ("6/16", "straight", Between.SIXTEENTHS, "2", "F0 .1/4 .1/2 b3/4 .1 .5/4"),
    ("3/8", "straight", Between.SIXTEENTHS, "2", "F0 .1/4 .1/2 .3/4 .1 .5/4"),
    ("7/8", "straight", Between.EIGHTHS, "2", "F0 b1/2 G1 b3/2 G2 b5/2 b3"),
    ("3/8", "straight", Between.NOTHING, "2", "F0"),
    ("2/2", "straight", Between.EIGHTHS, "2", "F0 .1/2 .1 .3/2 b2 .5/2 .3 .7/2"),
    ("2/2", "swing", Between.EIGHTHS, "2", "F0 .2/3 .1 .5/3 b2 .8/3 .3 .11/3"),
]


@pytest.mark.parametrize("case", BETWEEN)
def test_what_is_struck_between_the_beats(
    bar: MakeBar, case: tuple[str, str, Between, str, str]
) -> None:
    meter, feel, between, ratio, expected = case
    style = ClickStyle(between=between, swing=Fraction(ratio))
    assert written(bar(meter, feel=feel), style) == expected


def test_what_lies_between_stays_on_the_backbeat(bar: MakeBar) -> None:
    style = ClickStyle(beats=Beats.BACKBEAT, between=Between.EIGHTHS)
    assert written(bar("4/4"), style) == ".1/2 b1 .3/2 .5/2 b3 .7/2"


@pytest.mark.parametrize(
    ("meter", "pickup", "style", "expected"),
    [
        # The last beat and a half of 4/4: beat 3 and a half, then beat 4.
        ("4/4", "3/2", ClickStyle(between=Between.EIGHTHS), ".0 b1/2 .1"),
        ("4/4", "3/2", ClickStyle(between=Between.SWUNG), ".1/6 b1/2 .7/6"),
        ("4/4", "3", ClickStyle(beats=Beats.BACKBEAT), "b0 b2"),
        ("4/4", "3", ClickStyle(beats=Beats.BAR), ""),
        ("6/8", "2", ClickStyle(between=Between.EIGHTHS), ".0 b1/2 .1 .3/2"),
        ("7/8", "3/2", ClickStyle(), "G0 b1/2 b1"),
        ("5/4", "3", ClickStyle(groups=((2, 3),)), "G0 b1 b2"),
    ],
)
def test_a_pickup_counts_from_the_end(
    bar: MakeBar, meter: str, pickup: str, style: ClickStyle, expected: str
) -> None:
    assert written(bar(meter, pickup=pickup), style) == expected


@pytest.mark.parametrize(
    ("wrong", "what"),
    [
        ({"swing": Fraction(1, 2)}, "ratio"),
        ({"swing": Fraction(5)}, "ratio"),
        ({"count_in": 0}, "count-in"),
        ({"count_in": 3}, "count-in"),
        ({"sounding": 0}, "gap"),
        ({"silent": -1}, "gap"),
        ({"first": 128}, "key"),
        ({"volume": 0}, "volume"),
        ({"hold": -1}, "hold"),
    ],
)
def test_a_click_that_can_not_be_is_refused(wrong: dict[str, int], what: str) -> None:
    with pytest.raises(ValueError, match=what):
        ClickStyle(**wrong)  # type: ignore[arg-type]


ratios = st.fractions(1, 4, max_denominator=8)


@given(st.fractions(0, 16, max_denominator=48), st.fractions(0, 16, max_denominator=48), ratios)
def test_swing_moves_offbeats_alone_and_keeps_the_beats(
    one: Fraction, other: Fraction, ratio: Fraction
) -> None:
    for at in (one, other):
        moved = swung(at, ratio)
        if at % 1 != Fraction(1, 2):
            assert moved == at
        else:  # long to short is the ratio
            assert (moved - at // 1) == ratio * (at // 1 + 1 - moved)


styles = st.builds(
    ClickStyle,
    beats=st.sampled_from(Beats),
    between=st.sampled_from(Between),
    swing=ratios,
    groups=st.sampled_from([(), ((3, 2), (3, 2, 2)), ((2, 3), (2, 3, 2))]),
)


@settings(max_examples=50)
@given(charts(), styles)
def test_any_bar_with_any_click(chart: Chart, style: ClickStyle) -> None:
    for bar in chart.bars:
        found = strokes(bar, style)
        places = [stroke.at for stroke in found]
        beats = bar.meter.beat_places(bar.length, bar.lead_in)
        assert places == sorted(set(places))
        assert all(0 <= at < bar.length for at in places)
        on_beats = {stroke.at for stroke in found if stroke.stress is not Stress.BETWEEN}
        assert on_beats <= set(beats)
        if style.beats is Beats.EVERY:
            assert on_beats == set(beats)
        if style.between is Between.NOTHING:
            assert on_beats == set(places)
        for stroke in found:
            assert (stroke.stress is Stress.FIRST) == (stroke.at == 0 and not bar.pickup)


@given(st.builds(Meter, st.integers(1, 99), st.sampled_from(UNITS)), styles)
def test_every_full_bar_of_every_choice_but_the_backbeat_has_its_first_beat(
    meter: Meter, style: ClickStyle
) -> None:
    first = strokes(Bar("1", meter, length=meter.quarters), style)[0]
    backbeat = style.beats is Beats.BACKBEAT and meter.beats > 1
    assert (first.at == 0 and first.stress is Stress.FIRST) != backbeat
