"""What a mark holds on to: fingerprints of bars, and where an anchor's bar is in another chart."""

from dataclasses import replace
from fractions import Fraction
from hashlib import blake2b

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.charts_at_random import charts
from tests.log import planted

from chartwalk.chart import Bar, Chart, Note, RoadMark, Sign, Syllable
from chartwalk.key import Key
from chartwalk.log.anchors import anchor_at, fingerprint, fingerprints, place, place_by_number
from chartwalk.log.records import Anchor
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch

FULL = replace(
    planted.bar("E♭maj9/G"),
    tune=(Note(Pitch.parse("B4"), Fraction(3)), Note(None, Fraction(1))),
    words=((Syllable("tide", joined=True),),),
)


def test_fingerprints_never_change() -> None:
    """They stand in the logs that players have: another way to make them would lose every bar."""
    texts = {
        "\n\n": ("abafeb3ea61d48fb", Bar("1")),
        "0:Am7\n\n": ("2863263fde959781", planted.bar("Am7")),
        "0:E♭maj9/G\nB4:3 r:1\ntide-": ("3d36c7399393880e", FULL),
    }
    for text, (print_, bar) in texts.items():
        assert blake2b(text.encode(), digest_size=8).hexdigest() == print_
        assert fingerprint(bar) == print_


@pytest.mark.parametrize(
    "changed",
    [
        replace(FULL, number="77"),
        replace(FULL, key=Key(-3)),
        replace(FULL, tempo=Fraction(50)),
        replace(FULL, feel="swing"),
        replace(FULL, meter=Meter.parse("2/2")),
        replace(FULL, marks=(RoadMark(Sign.SEGNO),)),
        replace(FULL, double=True),
    ],
)
def test_what_does_not_belong_to_the_content_changes_nothing(changed: Bar) -> None:
    assert changed != FULL
    assert fingerprint(changed) == fingerprint(FULL)


@pytest.mark.parametrize(
    "changed",
    [
        replace(FULL, changes=planted.bar("Ebmaj9/G").changes),
        replace(FULL, changes=()),
        replace(FULL, changes=(replace(FULL.changes[0], at=Fraction(1)),)),
        replace(FULL, tune=(Note(Pitch.parse("B5"), Fraction(3)), Note(None, Fraction(1)))),
        replace(FULL, tune=(Note(Pitch.parse("B4"), Fraction(3), True), Note(None, Fraction(1)))),
        replace(FULL, tune=(Note(Pitch.parse("B4"), Fraction(2)), Note(None, Fraction(2)))),
        replace(FULL, words=((Syllable("tide"),),)),
        replace(FULL, words=((), (Syllable("tide", joined=True),))),
        replace(FULL, words=()),
    ],
)
def test_what_belongs_to_it_does(changed: Bar) -> None:
    assert fingerprint(changed) != fingerprint(FULL)


@given(charts())
def test_any_bar_has_one(chart: Chart) -> None:
    prints, bars = fingerprints(chart), chart.bars
    assert all(len(each) == 16 and int(each, 16) >= 0 for each in prints)
    same = [replace(bar, marks=(), double=False) for bar in bars]
    assert tuple(map(fingerprint, same)) == prints
    for index in range(len(bars)):
        assert place(anchor_at(bars, index), prints) is not None


def test_an_anchor_knows_its_neighbours() -> None:
    sheet = planted.song()
    prints = fingerprints(sheet.chart)
    assert anchor_at(sheet.bars, 0) == Anchor(prints[0], "", prints[1], 0, "1")
    assert anchor_at(sheet.bars, 4) == Anchor(prints[4], prints[3], prints[5], 4, "5")
    assert anchor_at(sheet.bars, 19) == Anchor(prints[19], prints[18], "", 19, "20")


def _place(held: str, at: int, now: str, taken: frozenset[int] = frozenset()) -> int | None:
    """Anchor a letter of a word, and find it in another word."""
    around = ("", *held, "")
    before, here, after = around[at : at + 3]
    return place(Anchor(here, before, after, at, ""), now, taken)


def test_the_same_chart_has_it_at_the_same_place() -> None:
    for word in ("abc", "aaaa", "abab", "a"):
        assert [_place(word, at, word) for at in range(len(word))] == list(range(len(word)))


@pytest.mark.parametrize(
    ("held", "at", "now", "found"),
    [
        ("abcd", 2, "xyabcd", 4),  # bars put in before it
        ("abcd", 2, "dcxa", 1),  # only its content is left
        ("abac", 2, "xxabac", 4),  # one of two that are the same: its neighbours tell
        ("abac", 0, "xxabac", 2),
        ("aaaa", 2, "aaaaa", 2),  # nothing tells: it is the nearest
        ("vaaaw", 2, "xvaaaw", 3),
        ("abcd", 1, "axcd", 1),  # changed, between its neighbours
        ("abcd", 1, "zzaxcd", 3),
        ("abcd", 0, "xbcd", 0),  # the first bar changed
        ("abcd", 3, "abcx", 3),  # the last
        ("abcd", 1, "axyd", None),  # its other neighbour changed too
        ("abcd", 1, "acd", None),  # taken out
        ("abcd", 1, "", None),
        ("abcd", 1, "axcaxc", None),  # changed, and it may be either
        ("abcd", 1, "wxyz", None),
    ],
)
def test_where_a_bar_went(held: str, at: int, now: str, found: int | None) -> None:
    assert _place(held, at, now) == found


def test_a_bar_known_to_be_another_is_never_the_changed_one() -> None:
    assert _place("abcd", 1, "axcd", frozenset({1})) is None
    assert _place("abcd", 1, "abcd", frozenset({1})) == 1, "what it holds is stronger"


@given(st.lists(st.integers(0, 5), min_size=1, max_size=12), st.data())
def test_a_bar_is_only_placed_on_its_content_or_between_its_neighbours(
    now: list[int], data: st.DataObject
) -> None:
    prints = [str(each) for each in now]
    part = st.sampled_from(["", *map(str, range(7))])
    anchor = Anchor(data.draw(part), data.draw(part), data.draw(part), 3, "4")
    found = place(anchor, prints)
    around = ["", *prints, ""]
    if found is not None and prints[found] != anchor.print_:
        assert anchor.print_ not in prints
        assert (around[found], around[found + 2]) == (anchor.before, anchor.after)
    if prints.count(anchor.print_) == 1:
        assert found == prints.index(anchor.print_)
    if anchor.print_ in prints:
        assert found is not None


def test_by_number_alone() -> None:
    def find(index: int, number: str, numbers: str) -> int | None:
        return place_by_number(Anchor("", "", "", index, number), numbers.split())

    assert find(1, "1", "0 1 2") == 1
    assert find(3, "1", "0 1 2") == 1
    assert find(3, "2", "0 1 2 2 3") == 3, "the half bar that repeats a number"
    assert find(9, "2", "0 1 2 2 3") is None
    assert find(0, "7", "0 1 2") is None
