"""How a chart is laid out when it is written, and bar lines that meet."""

from chartwalk.chart import Bar
from chartwalk.leadfile import dumps, loads


def bars_of(rows: str) -> tuple[Bar, ...]:
    return loads(f"title T\nmeter 4/4\n\n{rows}").chart.bars


def test_a_pickup_does_not_count_among_the_four_bars_of_a_system() -> None:
    text = (
        "title T\nmeter 4/4\n\nroad | pickup | | | | | |\n"
        "chords | | C | D | E | F | G |\ntune | C4:1 | | | | | |"
    )
    rows = [line for line in dumps(loads(text).chart).splitlines() if line.startswith("chords")]
    assert [row.count("|") - 1 for row in rows] == [5, 1]


def test_a_repeat_sign_in_one_row_and_a_double_bar_in_another_are_one_repeat_sign() -> None:
    (bar,) = bars_of("chords |: C :|\ntune | C4:4 ||")
    assert not bar.double
    assert [mark.sign.value for mark in bar.marks] == ["|:", ":|"]
