"""Fermatas in the road row, and meters that are written in groups."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar, Sign
from chartwalk.leadfile import dumps, loads

Bars = Callable[..., tuple[Bar, ...]]
Found = Callable[..., list[str]]

# The rows of a bar of 4/4, and the places of its fermatas in quarter notes.
TYPED = [
    ("road | fermata |\ntune | C4:2 E4:2 |", "2"),
    ("road | fermata |\ntune | C4:2 r:2 |", "0"),  # a rest is no note
    ("road | fermata |\ntune | r:4 |", "0"),
    ("road | fermata |\ntune | C4:1/3 E4:11/3 |", "1/3"),
    ("road | fermata |\nchords | C G |", "2"),
    ("road | fermata |\nchords | C |", "0"),
    ("road | fermata |\nchords | |", "0"),
    ("road | fermata |\nchords | C@1 G@4.5 |\ntune | C4:2 E4:2 |", "7/2"),  # note or chord
    ("road | fermata |\nchords | C G |\ntune | C4:3 E4:1 |", "3"),
    ("road | fermata@1 |\ntune | C4:2 E4:2 |", "0"),
    ("road | fermata@3 |\nchords | C |", "2"),
    ("road | fermata@2.5 |\nchords | C |", "3/2"),
    ("road | fermata@1, fermata |\ntune | C4:2 E4:2 |", "0 2"),
    ("road | fermata@4,fermata@2 |\ntune | C4:2 E4:2 |", "1 3"),
    ("road | FERMATA @ 3 |\nchords | C |", "2"),
    ("road | segno, fermata@3, fine |\nchords | C |", "2"),
    ("road | fermata@3, fermata |\ntune | C4:2 E4:2 |", "2"),  # said twice, meant once
]


@pytest.mark.parametrize(("rows", "places"), TYPED)
def test_where_a_fermata_stands(bars: Bars, rows: str, places: str) -> None:
    (bar,) = bars(rows)
    assert bar.fermatas == tuple(map(Fraction, places.split()))


def test_the_beats_are_those_the_player_counts(bars: Bars) -> None:
    """The beat of 6/8 is the dotted quarter; a pickup counts from the end of its bar."""
    (bar,) = bars("road | fermata@2 |\nchords | C |", "6/8")
    assert bar.fermatas == (Fraction(3, 2),)
    pickup, _ = bars("road | pickup, fermata@4 | |\ntune | G4:1 B4:1 | D5:4 |")
    assert pickup.fermatas == (Fraction(1),)


def test_other_marks_of_the_bar_are_kept(bars: Bars) -> None:
    (bar,) = bars("road | segno, fermata, fine, bar 7 |\nchords | C |")
    assert [mark.sign for mark in bar.marks] == [Sign.SEGNO, Sign.FINE]
    assert (bar.number, bar.fermatas) == ("7", (Fraction(0),))


@pytest.mark.parametrize(
    ("rows", "cell"),
    [
        ("road | fermata@3 |\ntune | C4:2 E4:2 |", "fermata"),
        ("road | fermata |\nchords | C G |", "fermata"),
        ("road | fermata, fermata@1 |\ntune | C4:2 E4:2 |", "fermata@1, fermata"),
        ("road | fermata@2.5 |\nchords | C G |", "fermata@2.5"),
        ("road | fermata@7/3, fine |\nchords | C G |", "fine, fermata@7/3"),
    ],
)
def test_fermatas_are_written_the_short_way(rows: str, cell: str) -> None:
    chart = loads(f"title T\nmeter 4/4\n\n{rows}\n").chart
    road = next(line for line in dumps(chart).splitlines() if line.startswith("road"))
    assert road.strip("road |") == cell.strip("road |")
    assert loads(dumps(chart)).chart == chart


@pytest.mark.parametrize(
    ("cell", "column", "named"),
    [
        ("fermata@5", 8, ["beat 5", "4/4"]),
        ("fermata@0.5", 8, ["beat 0.5", "4/4"]),
        ("fine, fermata@x", 14, ["'fermata@x'", "fermata@3", "fermata"]),
        ("fermata@", 8, ["'fermata@'", "fermata@3"]),
        ("fermata@1/0", 8, ["'fermata@1/0'", "fermata@3"]),
        ("fermata, fermata", 17, ["'fermata'", "twice"]),
        ("fermata@2, fermata@2", 19, ["'fermata@2'", "twice"]),
        ("fermatas", 8, ["'fermatas'", "fermata"]),
        ("fermata 3", 8, ["'fermata 3'", "fermata"]),
    ],
)
def test_fermatas_that_can_not_be_read(
    problems_in_rows: Found, cell: str, column: int, named: list[str]
) -> None:
    (problem,) = problems_in_rows(f"road | {cell} |\nchords | C |")
    assert problem.startswith(f"x.lead:4:{column} ")
    assert all(text in problem for text in named)


def test_a_mistake_beside_a_fermata_is_one_problem(problems_in_rows: Found) -> None:
    for rows in (
        "road | fermata@1, fermata |\nchords | Czz |",
        "road | fermata@4 |\ntune | C4:1 |",
        "road | fermata |\ntune | X4:4 |",
        "road | pickup, fermata@4 |\ntune | X4:1 |",
    ):
        assert len(problems_in_rows(rows)) == 1, rows


# Groups as a sheet writes them, and how long the bar is, in quarter notes.
@pytest.mark.parametrize(
    ("meter", "groups", "quarters"),
    [("2+2+3/8", (2, 2, 3), "7/2"), ("3+2/4", (3, 2), "5"), ("3+3/8", (3, 3), "3"),
     ("5/4", (), "5")],
)  # fmt: skip
def test_meters_in_groups(bars: Bars, meter: str, groups: tuple[int, ...], quarters: str) -> None:
    (bar,) = bars("chords | C |", meter)
    assert (bar.meter.groups, str(bar.meter)) == (groups, meter)
    assert bar.length == Fraction(quarters)


@pytest.mark.parametrize(
    ("meter", "fits"),
    [("2+2+3/8", "1, 7"), ("3+2/4", "1, 5"), ("3+3+2/8", "1, 2, 4, 8"), ("3+3/8", "1, 2, 3, 6")],
)
def test_chords_share_a_bar_of_groups_by_its_count(
    problems_in_rows: Found, meter: str, fits: str
) -> None:
    (problem,) = problems_in_rows(f"chords | {'C ' * 9}|", meter)
    assert f"a bar of {meter} evenly: write {fits} " in problem


def test_groups_that_change_between_systems_are_written() -> None:
    text = (
        "title T\nmeter 7/8\nchords | C |\n\nmeter 2+2+3/8\nchords | D |\n\n"
        "meter 3+2+2/8\nchords | E |\n\nmeter 7/8\nchords | F |\n"
    )
    chart = loads(text).chart
    written = dumps(chart)
    stated = [line.split()[1] for line in written.splitlines() if line.startswith("meter")]
    assert stated == ["7/8", "2+2+3/8", "3+2+2/8", "7/8"]
    assert loads(written).chart == chart


@pytest.mark.parametrize("meter", ["2+/8", "+3/8", "2 + 3/8", "2+0/8", "2+2", "60+60/8", "2+3/5"])
def test_groups_that_can_not_be_read(problems_in_rows: Found, meter: str) -> None:
    (problem,) = problems_in_rows(f"meter {meter}\nchords | C |")
    assert problem.startswith("x.lead:4:7 ")
