"""What a road passes by is told: a player reads over it, but should know of it.

music21 10.5.1, ``test_repeat``, refuses a D.C. with a stray coda sign; a player reads over such a
sign, so it is a notice here. The rest is common practice, no source.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.problems import ChartError
from chartwalk.roadmap import road_notices, unroll

Road = Callable[[str], Chart]

# Layout, bars heard, the printed numbers of the bars a notice is about and words of each.
NOTICES = [
    (". / . / dc / coda / .", "1 2 3 1 2 3 4 5", [("4", "the D.C. does not say al Coda")]),
    (". / coda / . / .", "1 2 3 4", [("2", "no D.C. or D.S. says al Coda")]),
    (
        ". / to coda / . / coda / .",
        "1 2 3 4 5",
        [("2", "a To Coda that no jump makes use of"), ("4", "a Coda that no jump leads to")],
    ),
    (". / coda / coda / .", "1 2 3 4", [("2", "a Coda"), ("3", "a Coda")]),
    ("segno / . / dc", "1 2 3 1 2 3", [("1", "a Segno that no jump makes use of")]),
    ("segno / segno / .", "1 2 3", [("1", "a Segno"), ("2", "a Segno")]),
    (". / fine / .", "1 2 3", [("2", "a Fine that no jump makes use of")]),
    # A D.C. without al Fine ends at Fine all the same, so nothing is passed by but the last bar.
    (". / fine / dc / .", "1 2 3 1 2", [("4", "bar 4 is never played")]),
    (
        "fine / . / fine / dc al fine",
        "1 2 3 4 1",
        [("3", "a Fine that no jump makes use of")],
    ),
    (
        "to coda / to coda / dc al coda / coda",
        "1 2 3 1 4",
        [("2", "a To Coda that no jump makes use of")],
    ),
    (". / fine / to coda / dc al coda / coda", "1 2 3 4 1 2 3 5", [("2", "a Fine")]),
    (
        "to coda / . / dc al coda / . / . / coda / .",
        "1 2 3 1 6 7",
        [("4", "bars 4 to 5 are never played")],
    ),
    (". / |:, :| 0x / .", "1 3", [("2", "bar 2 is never played")]),
    ("fine / dc al fine / . / . / .", "1 2 1", [("3", "bars 3 to 5 are never played")]),
    # The number of times at a repeat that has endings.
    (
        ". / 1., :| 3x / 2. / .",
        "1 2 1 3 4",
        [("2", "3x is not followed: the endings decide, and they make 2 times")],
    ),
    (
        "|: / 1., :| 4x / 2., :| 5x / 3.",
        "1 2 1 3 1 4",
        [("2", "4x is not followed"), ("3", "5x is not followed")],
    ),
    ("|: / 1. 2., :| 3x / 3.", "1 2 1 2 1 3", []),
    (". / |:, :| 3x / .", "1 2 2 2 3", []),
    ("|: / 1., :| / 2.", "1 2 1 3", []),
    (". / segno / to coda / . / ds al coda / coda", "1 2 3 4 5 2 3 6", []),
]


@pytest.mark.parametrize(("layout", "order", "told"), NOTICES)
def test_what_is_passed_by_is_told(
    road: Road, layout: str, order: str, told: list[tuple[str, str]]
) -> None:
    chart = road(layout)
    assert [step.bar + 1 for step in unroll(chart)] == [int(word) for word in order.split()]
    notices = road_notices(chart)
    assert [notice.bar for notice in notices] == [bar for bar, _ in told]
    assert [str(notice.index + 1) for notice in notices] == [bar for bar, _ in told]
    for notice, (_, words) in zip(notices, told, strict=True):
        assert words in notice.message


def test_a_pickup_that_is_left_out_has_its_printed_number(road: Road) -> None:
    (notice,) = road_notices(road("0 |:, :| 0x / . / ."))
    assert (notice.bar, notice.index) == ("0", 0)
    assert "bar 0 is never played" in notice.message


def test_a_road_that_can_not_be_walked_has_problems_and_no_notices(road: Road) -> None:
    with pytest.raises(ChartError, match="without a segno"):
        road_notices(road("coda / ds"))
