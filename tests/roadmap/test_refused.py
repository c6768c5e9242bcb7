"""Roads that can't be walked: each is refused with the printed number of a bar that is to blame.

References
----------
music21 10.5.1, ``test_repeat`` (the cases it refuses); the rest follows from MusicXML 4.0,
``repeat``, ``ending`` and ``sound``, whose jumps need their goals.
"""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.problems import ChartError
from chartwalk.roadmap import unroll

Road = Callable[[str], Chart]

# What is wrong, the layout, bars that may be named, a word of the message.
REFUSED = [
    # music21 10.5.1 test_repeat.
    ("D.S. without a segno", ". / . / ds / .", "3", "segno"),
    ("D.S. al Fine without a segno", ". / fine / ds al fine / .", "3", "segno"),
    ("D.S. al Coda without a segno", ". / to coda / ds al coda / coda", "3", "segno"),
    ("D.C. al Fine without a Fine", ". / . / dc al fine / .", "3", "Fine"),
    ("D.S. al Fine without a Fine", ". / segno / ds al fine / .", "3", "Fine"),
    ("al Coda without a To Coda", ". / . / dc al coda / coda / .", "3", "To Coda"),
    ("al Coda without a coda", ". / to coda / dc al coda / .", "3", "Coda"),
    ("al Coda with neither", ". / . / dc al coda / .", "3", "Coda"),
    ("D.C. and D.S.", ". / segno / dc / . / ds", "3 5", "one jump"),
    ("D.C. and D.S. in one bar", ". / segno / dc, ds / .", "3", "one jump"),
    ("a pass served twice", ". / 1. 2., :| / 2. 3.", "2 3", "pass 2"),
    ("a pass skipped", ". / 1., :| / 3.", "2 3", "pass 2"),
    ("the first pass skipped", ". / 2., :| / 3.", "2 3", "pass 1"),
    # MusicXML 4.0.
    ("two segnos", ". / segno / segno / ds", "2 3", "segno"),
    ("two codas", ". / to coda / dc al coda / coda / coda", "4 5", "coda"),
    ("two D.C.", ". / dc / . / dc", "2 4", "one jump"),
    ("an ending outside a repeat", ". / 1. / 2. / .", "2 3", "outside a repeat"),
    ("a repeat never closed", ". / |: / . / .", "2", "never closed"),
    ("the second of two never closed", "|: / :| / |: / .", "3", "never closed"),
    ("a repeat never closed before another", "|: / . / |: / :|", "1", "never closed"),
    # The goal lies where the walk after the jump does not pass: MusicXML 4.0, sound.
    ("Fine before the segno", "fine / segno / ds al fine / .", "1 3", "Fine"),
    ("To Coda before the segno", "to coda / segno / ds al coda / coda", "1 3", "To Coda"),
    ("coda and To Coda in one bar", ". / to coda, coda / dc al coda", "2", "coda"),
    ("coda before its To Coda", ". / coda / to coda / dc al coda", "2 3 4", "coda"),
    ("segno after its D.S.", ". / ds / segno / .", "2 3", "segno"),
    (
        "To Coda in the first ending",
        "|: / 1., to coda, :| / 2. / dc al coda / coda",
        "2 4",
        "To Coda",
    ),
]


@pytest.mark.parametrize(("wrong", "layout", "bars", "word"), REFUSED)
def test_refused(road: Road, wrong: str, layout: str, bars: str, word: str) -> None:
    with pytest.raises(ChartError) as caught:
        unroll(road(layout))
    problems = caught.value.problems
    assert problems
    assert all(problem.bar for problem in problems)
    assert {problem.bar for problem in problems} & set(bars.split())
    assert any(word in problem.message for problem in problems)
    assert f"bar {problems[0].bar}:" in str(caught.value)


def test_every_problem_is_told(road: Road) -> None:
    with pytest.raises(ChartError) as caught:
        unroll(road("segno / segno / coda / coda / 1. / dc al fine / ds al coda"))
    messages = " ".join(problem.message for problem in caught.value.problems)
    assert len(caught.value.problems) >= 5
    assert all(word in messages for word in ("segno", "coda", "ending", "Fine", "one jump"))


def test_pickup_problems_have_the_printed_number(road: Road) -> None:
    with pytest.raises(ChartError) as caught:
        unroll(road("0 . / . / ds / ."))
    assert [problem.bar for problem in caught.value.problems] == ["2"]
