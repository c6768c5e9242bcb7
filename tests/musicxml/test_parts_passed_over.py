"""Of a score for many players the lead is read; what follows it is only checked to be sound."""

import pytest

from chartwalk.musicxml import read_bytes
from chartwalk.musicxml.tree import tree
from chartwalk.problems import ChartError

HARMONY = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>"
LYRIC = "<lyric><text>la</text></lyric>"
NAMED = '<score-part id="P{0}"><part-name>Part {0}</part-name></score-part>'
BROKEN = "<measure></note>"


def note(step: str, lyric: str = "") -> str:
    pitch = f"<pitch><step>{step}</step><octave>5</octave></pitch>"
    return f"<note>{pitch}<duration>4</duration>{lyric}</note>"


def bar(inside: str) -> str:
    return f'<measure number="1">{inside}</measure>'


def score(*parts: str, names: int | None = None) -> str:
    """Return a score of these parts; ``names`` of them are listed in its head, or all."""
    count = len(parts) if names is None else names
    listed = "".join(NAMED.format(number) for number in range(1, count + 1))
    bodies = "".join(f'<part id="P{n}">{part}</part>' for n, part in enumerate(parts, 1))
    return f"<score-partwise><part-list>{listed}</part-list>{bodies}</score-partwise>"


def built(text: str) -> list[int]:
    """Return how many measures of each part stand in the tree."""
    return [len(part) for part in tree(text.encode()).findall("part")]


def told(data: bytes) -> list[str]:
    return [warning.message for warning in read_bytes(data, "x").warnings]


# A part leads with chords and words, or with the one of them that the score has at all.
@pytest.mark.parametrize(
    ("parts", "measures"),
    [
        ((bar(note("C")), bar(note("D"))), [1]),
        ((bar(note("C")), bar(note("D", LYRIC)), bar(note("E", LYRIC))), [1, 1]),
        ((bar(note("C", LYRIC)), bar(HARMONY + note("D"))), [1, 1]),
        ((bar(HARMONY + note("C", LYRIC)), bar(HARMONY + note("D", LYRIC))), [1]),
        (("", bar(note("C")), bar(note("D"))), [0, 1]),
        ((bar(note("C")),), [1]),
    ],
    ids=["neither", "words", "apart", "both", "an empty one first", "one part"],
)
def test_no_part_is_built_after_the_lead(parts: tuple[str, ...], measures: list[int]) -> None:
    assert built(score(*parts)) == measures


def test_those_not_built_count_all_the_same() -> None:
    data = score(*[bar(note(step)) for step in "CDE"]).encode()
    assert "of 3 parts only part 1 (Part 1) is read" in told(data)


def test_what_the_head_does_not_list_is_built() -> None:
    text = score(bar(note("C")), bar(note("D")), names=1)
    assert built(text) == [1, 1]
    assert "of 2 parts only part 1 (Part 1) is read" in told(text.encode())


def test_a_broken_part_after_the_lead_is_refused() -> None:
    with pytest.raises(ChartError, match="not well-formed"):
        read_bytes(score(bar(note("C")), BROKEN).encode(), "x")


def test_words_are_found_in_two_bytes_a_letter() -> None:
    text = score(bar(note("C")), bar(note("D", LYRIC)), bar(note("E")))
    data = f'<?xml version="1.0" encoding="UTF-16"?>{text}'.encode("utf-16")
    assert "of 3 parts only part 2 (Part 2) is read" in told(data)


def test_a_comment_or_a_part_in_a_measure_ends_no_part() -> None:
    first = bar("<!-- </part> -->" + note("C")) + bar(note("D"))
    assert built(score(first, bar(note("E")))) == [2]
    nested = f"<measure><part>{bar('')}</part></measure>" + bar(note("D"))
    assert built(score(nested, bar(note("E")))) == [2]
