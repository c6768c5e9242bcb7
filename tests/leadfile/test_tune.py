"""The tune row: pitches, lengths, rests and ties."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from chartwalk.chart import Bar

Bars = Callable[..., tuple[Bar, ...]]
Tune = Callable[[Bar], str]

# Cell, notes.
CELLS = [
    ("B4:4", "B4 4"),
    ("B4:1.5 A4:.5 G4:1 A4:1", "B4 3/2, A4 1/2, G4 1, A4 1"),
    ("B4:0.5 A4:3.5", "B4 1/2, A4 7/2"),
    ("C4:1/3 D4:1/3 E4:1/3 F4:3", "C4 1/3, D4 1/3, E4 1/3, F4 3"),
    ("C4:4/3 D4:4/3 E4:4/3", "C4 4/3, D4 4/3, E4 4/3"),
    ("C4:4/5 C4:4/5 C4:4/5 C4:4/5 C4:4/5", "C4 4/5, C4 4/5, C4 4/5, C4 4/5, C4 4/5"),
    ("C4:.125 D4:3.875", "C4 1/8, D4 31/8"),
    ("F#4:1 Bb4:1 Ebb4:1 F##4:1", "F#4 1, Bb4 1, Ebb4 1, F##4 1"),
    ("F♯4:2 B♭4:2", "F#4 2, Bb4 2"),
    ("C-1:1 G9:1 B3:2", "C-1 1, G9 1, B3 2"),
    ("r:4", "r 4"),
    ("r:1 B4:2 r:1", "r 1, B4 2, r 1"),
    ("B4:2~ B4:2", "B4 2~, B4 2"),
    ("B4:2 B4:2~", "B4 2, B4 2~"),
    ("", ""),
]


@pytest.mark.parametrize(("cell", "notes"), CELLS)
def test_cells(bars: Bars, tune: Tune, cell: str, notes: str) -> None:
    assert [tune(bar) for bar in bars(f"tune | {cell} |")] == [notes]


def test_lengths_in_other_meters(bars: Bars, tune: Tune) -> None:
    assert tune(bars("tune | A4:1 E4:.5 A4:1.5 |", "6/8")[0]) == "A4 1, E4 1/2, A4 3/2"
    assert tune(bars("tune | A4:3.5 |", "7/8")[0]) == "A4 7/2"


def test_the_tune_alone_is_a_chart(bars: Bars, tune: Tune) -> None:
    (bar,) = bars("tune | B4:4 |")
    assert not bar.changes
    assert bar.length == 4


def test_an_empty_cell_is_a_bar_of_rest(bars: Bars) -> None:
    first, second, third = bars("tune | B4:4 | | B4:4 |")
    assert [bool(bar.tune) for bar in (first, second, third)] == [True, False, True]
    assert second.length == 4


@pytest.mark.parametrize("length", ["1", "1.5", "1/3", "3.5", "7/2", ".25"])
def test_a_pickup_is_as_long_as_its_notes(bars: Bars, length: str) -> None:
    pickup, full = bars(f"road | pickup | |\ntune | B4:{length} | B4:4 |")
    assert pickup.pickup
    assert pickup.length == Fraction(length)
    assert not full.pickup
    assert full.length == 4
    assert pickup.lead_in == 4 - Fraction(length)
