"""Fermatas and groups of meters in tunes.

Sources: ABC 2.1 sections 4.14 (`!fermata!`, `!invertedfermata!`; decorations stand before notes,
rests, note groups and bar lines), 4.16 (`H`, and `U:`) and 3.1.6 (`M:2+3+2/8`, `M:(2+3+2)/8`).
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.reading import Reading

Tune = Callable[..., Reading]


def fermatas(chart: Chart) -> list[str]:
    return [" ".join(map(str, bar.fermatas)) for bar in chart.bars]


# Music in 4/4, quarter notes, and where the fermatas of each bar stand.
TUNES = [
    ("C2 HD2|", ["2"]),
    ("C2 !fermata!D2|", ["2"]),
    ("C2 +fermata+D2|", ["2"]),
    ("!invertedfermata!C4|", ["0"]),
    ("HC2 HD2|C4|", ["0 2", ""]),
    ("C3 Hz|", ["3"]),  # on a rest
    ("H[CEG]4|", ["0"]),
    ('"G"!fermata!{c}C4|', ["0"]),  # before a grace note
    ("H.~C4|", ["0"]),
    ("C2 D2!fermata!|C4|", ["2", ""]),  # on the bar line: the last note before it
    ("C2 z2!fermata!|]", ["0"]),
    ("C4|!fermata!|]", ["0"]),
    ("C4|D4 !fermata!y|]", ["", "0"]),
    ("C4-|HC4|", ["", "0"]),
    ("!fermata!z4|", ["0"]),
    ("TC4|", [""]),
    ("!trill!C4|", [""]),
]


@pytest.mark.parametrize(("music", "expected"), TUNES)
def test_where_fermatas_stand(tune: Tune, music: str, expected: list[str]) -> None:
    reading = tune(music)
    assert fermatas(reading.chart) == expected
    assert all("grace" in warning.message for warning in reading.warnings)


def test_a_letter_may_stand_for_a_fermata_or_for_something_else(tune: Tune) -> None:
    assert fermatas(tune("TC4|", U="T=!fermata!").chart) == ["0"]
    assert fermatas(tune("HC4|", U="H=!trill!").chart) == [""]
    assert fermatas(tune("HC4|", U="H=!nil!").chart) == [""]


def test_each_voice_has_its_own(tune: Tune) -> None:
    reading = tune("V:1\nC2 D2|\nw:la la\nV:2\nHE4|")
    assert fermatas(reading.chart) == [""]


def test_a_note_divided_is_held_at_its_end(tune: Tune) -> None:
    """A bar far too long is counted off into bars, its notes tied over the lines."""
    reading = tune("C4 D4 E4 HF8 G4|")
    assert fermatas(reading.chart) == ["", "", "", "", "0", ""]


@pytest.mark.parametrize(
    ("meter", "groups"),
    [("2+2+3/8", (2, 2, 3)), ("(2+2+3)/8", (2, 2, 3)), ("( 3 + 2 ) / 4", (3, 2)), ("7/8", ()),
     ("C", ())],
)  # fmt: skip
def test_groups(tune: Tune, meter: str, groups: tuple[int, ...]) -> None:
    reading = tune("C|", M=meter)
    assert reading.chart.bars[0].meter.groups == groups
    assert not reading.warnings


def test_groups_that_change_within_the_tune(tune: Tune) -> None:
    reading = tune("C3 D4|[M:3+2+2/8]C3 D4|[M:7/8]C3 D4|", M="2+2+3/8", L="1/8")
    meters = [str(bar.meter) for bar in reading.chart.bars]
    assert meters == ["2+2+3/8", "3+2+2/8", "7/8"]


def test_groups_that_make_no_meter(tune: Tune) -> None:
    (warning,) = tune("C4|", M="0+4/4").warnings
    assert "M:" in warning.message
