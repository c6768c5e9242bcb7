"""What a depth leaves out, bar by bar."""

from collections.abc import Callable

import pytest

from chartwalk.chart import Chart
from chartwalk.depth import Depth, at_depth, left_out

CASES = {
    "written": ("written", "C Am Dm G7 | C", " | "),
    "lean": ("lean", "Cmaj7 Am Dm G7 | C C/B Am Em | C", "Am@2 | C/B@2 Em@4 | "),
    "lean, what sounds on": ("lean", "F7 Bb/F F7 / | C", "Bb/F@2 | "),
    "lean, one harmony": ("lean", "Fmaj7 F7 Am7 / | C", "F7@2 | "),
    "lean, one harmony, a triad first": ("lean", "F F7 Am7 / | C", "F7@2 | "),
    "plain joins": ("plain", "Cmaj7 C7 Am Am/G | Dm7 C6", " | "),
    "plain joins suspensions": ("plain", "D7sus4 D7 Dm9 / | Asus2 Am", " | "),
}


@pytest.mark.parametrize("what", CASES)
def test_left_out(chart: Callable[..., Chart], what: str) -> None:
    depth, chords, expected = CASES[what]
    written = chart(f"chords | {chords} |")
    missing = left_out(written, at_depth(written, Depth(depth)))
    assert (
        " | ".join(
            " ".join(f"{each.symbol.text}@{bar.beat_at(each.at)}" for each in found)
            for bar, found in zip(written.bars, missing, strict=True)
        )
        == expected
    )


def test_where_lean_and_plain_agree_a_chord_whose_triad_sounds_is_not_left_out(
    chart: Callable[..., Chart],
) -> None:
    written = chart("chords | C C7 F Am | G |")
    assert at_depth(written, Depth.LEAN) == chart("chords | C@1 F@3 | G |")
    assert [len(found) for found in left_out(written, chart("chords | C@1 F@3 | G |"))] == [1, 0]


def test_charts_of_different_bars_do_not_compare(chart: Callable[..., Chart]) -> None:
    with pytest.raises(ValueError, match="shorter"):
        left_out(chart("chords | C | F |"), chart("chords | C |"))
