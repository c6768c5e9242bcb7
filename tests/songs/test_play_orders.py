"""The bars of each demo song in the order they are played, worked out by hand from the page.

A stretch of bars is written `5-16`. After a D.C. or D.S. the last ending is played and repeats are
not taken again (Gehrkens, *Music Notation and Terminology*, sections 36 to 39).
"""

import pytest

from chartwalk.song import Song

# Song, printed numbers, words for each jump, how many bars are played.
ORDERS = [
    (
        "cafe-on-the-quay",
        "1-20 5-16 21-40 5-16 41-48",
        ["repeat, 2nd time", "2nd ending", "back to segno", "to coda"],
        72,
    ),
    ("first-lamp", "1-8 1-12", ["repeat, 2nd time"], 20),
    (
        "lamp-on-the-step",
        "1-10 3-8 11-20 3-8 11-12",
        ["repeat, 2nd time", "2nd ending", "back to segno", "2nd ending"],
        34,
    ),
    (
        "lamplighter-swing",
        "1-8 1-6 9-26 25-26 25-28",
        ["repeat, 2nd time", "2nd ending", "repeat, 2nd time", "repeat, 3rd time"],
        38,
    ),
    ("lanterns-at-low-tide", "0-8 1-6 9-23", ["repeat, 2nd time", "2nd ending"], 30),
    (
        "last-ferry-bell",
        "0-8 1-8 1-6 9-18",
        ["repeat, 2nd time", "repeat, 3rd time", "3rd ending"],
        33,
    ),
    ("light-on-the-long-wall", "0-8 1-6 9-30", ["repeat, 2nd time", "2nd ending"], 37),
    (
        "net-menders-waltz",
        "1-24 17-28 1-16",
        ["repeat, 2nd time", "back to the beginning"],
        52,
    ),
    ("seven-buoys", "1-7 1-6 8-12", ["repeat, 2nd time", "2nd ending"], 18),
]
# Song, printed number of a bar, the passes it is played on.
PASSES = [
    ("cafe-on-the-quay", "5", [1, 2, 3]),
    ("cafe-on-the-quay", "17", [1]),
    ("cafe-on-the-quay", "21", [2]),
    ("cafe-on-the-quay", "41", [1]),
    ("lamp-on-the-step", "3", [1, 2, 3]),
    ("lamp-on-the-step", "12", [2, 3]),
    ("lamplighter-swing", "26", [1, 2, 3]),
    ("last-ferry-bell", "7", [1, 2]),
    ("last-ferry-bell", "9", [3]),
    ("net-menders-waltz", "1", [1, 2]),
    ("net-menders-waltz", "24", [1, 2]),
    ("light-on-the-long-wall", "0", [1]),
]


def _unfolded(stretches: str) -> list[str]:
    numbers = []
    for stretch in stretches.split():
        first, last = map(int, stretch.split("-"))
        numbers += [str(number) for number in range(first, last + 1)]
    return numbers


@pytest.mark.parametrize(("name", "order", "jumps", "length"), ORDERS)
def test_the_order(
    songs: dict[str, Song], name: str, order: str, jumps: list[str], length: int
) -> None:
    song = songs[name]
    assert [song.bars[step.bar].number for step in song.steps] == _unfolded(order)
    assert [step.index for step in song.steps] == list(range(length))
    assert [step.why for step in song.steps if step.why] == jumps


@pytest.mark.parametrize(("name", "number", "passes"), PASSES)
def test_the_passes(songs: dict[str, Song], name: str, number: str, passes: list[int]) -> None:
    song = songs[name]
    steps = [step for step in song.steps if song.bars[step.bar].number == number]
    assert [step.pass_ for step in steps] == passes
