"""Marks that stay on their bars while the chart is edited."""

from collections import Counter

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from tests.log import planted

from chartwalk.log import Anchor, Store
from chartwalk.log.follow import follow

# A chart as a list of (content, where the bar was before); None is a bar that is new
Edited = list[tuple[int, int | None]]


@st.composite
def edits(draw: DrawFn, kinds: int) -> tuple[list[int], Edited]:
    """A chart of bars of some kinds, and the same after bars were put in, taken out, changed."""
    content = st.integers(0, kinds)
    old = draw(st.lists(content, min_size=1, max_size=14))
    new: Edited = [(each, index) for index, each in enumerate(old)]
    for _ in range(draw(st.integers(0, 4))):
        place = draw(st.integers(0, len(new)))
        match draw(st.sampled_from(["put in", "take out", "change", "move"])):
            case "put in":
                new.insert(place, (draw(content), None))
            case "take out" if place < len(new):
                del new[place]
            case "change" if place < len(new):
                new[place] = (draw(content), new[place][1])
            case "move" if place < len(new):
                moved = new.pop(place)
                new.insert(draw(st.integers(0, len(new))), moved)
    return old, new


def _once(bars: list[int]) -> set[int]:
    return {each for each, count in Counter(bars).items() if count == 1}


@given(edits(60))
def test_a_bar_that_was_not_touched_is_never_lost_or_mistaken(
    case: tuple[list[int], Edited],
) -> None:
    """Where its content stands once, before and after, nothing else can be it."""
    old, new = case
    contents = [each for each, _ in new]
    moves = follow(list(map(str, old)), list(map(str, contents)))
    for content in _once(old) & _once(contents):
        assert moves[old.index(content)] == contents.index(content)


@given(edits(3))
def test_no_two_bars_become_one_and_only_one_between_neighbours_is_another(
    case: tuple[list[int], Edited],
) -> None:
    old, new = case
    contents = [each for each, _ in new]
    moves = follow(list(map(str, old)), list(map(str, contents)))
    assert len(set(moves.values())) == len(moves)
    assert all(0 <= to < len(contents) for to in moves.values())
    ends = {-1: -1, len(old): len(contents)}
    for index, to in moves.items():
        if old[index] != contents[to]:
            known = moves | ends
            assert (known[index - 1], known[index + 1]) == (to - 1, to + 1)


@given(st.lists(st.integers(0, 2), min_size=1, max_size=14), st.data())
def test_one_edit_of_a_chart_full_of_equal_bars_keeps_what_stands_before_and_after_it(
    old: list[int], data: st.DataObject
) -> None:
    """Order decides: from the start up to the edit, and back from the end to it."""
    place = data.draw(st.integers(0, len(old)))
    put_in = [*old[:place], 9, *old[place:]]
    moves = follow(list(map(str, old)), list(map(str, put_in)))
    assert moves == {index: index + (index >= place) for index in range(len(old))}
    if place < len(old):
        changed = [*old[:place], 9, *old[place + 1 :]]
        moves = follow(list(map(str, old)), list(map(str, changed)))
        assert moves == {index: index for index in range(len(old))}


@pytest.mark.parametrize(
    ("old", "new", "moves"),
    [
        ("abc", "abc", {0: 0, 1: 1, 2: 2}),
        ("", "abc", {}),
        ("abc", "", {}),
        ("abc", "xyz", {}),
        ("a", "x", {0: 0}),  # the only bar, changed
        ("abcd", "abxyd", {0: 0, 1: 1, 3: 4}),  # one bar became two
        ("abxyd", "abcd", {0: 0, 1: 1, 4: 3}),  # two became one
        ("axbyc", "byaxc", {0: 2, 1: 3, 2: 0, 3: 1, 4: 4}),  # a stretch that was moved
        ("aabaa", "aaxbaa", {0: 0, 1: 1, 2: 3, 3: 4, 4: 5}),
        ("vwvw", "vwvwvw", {0: 0, 1: 1, 2: 2, 3: 3}),
    ],
)
def test_which_bar_became_which(old: str, new: str, moves: dict[int, int]) -> None:
    assert follow(old, new) == moves


def test_a_long_chart_of_equal_bars_is_followed() -> None:
    old, new = ["c"] * 10_000, ["x", *["c"] * 10_000, "y"]
    assert len(follow(old, new)) == 10_000


def _where(store: Store, song: str) -> list[int | None]:
    return [mark.bar for mark in reversed(store.marks(song))]


def _marked(store: Store, chords: str) -> str:
    """Open a song of chords and mark each bar once."""
    sheet = planted.song(chords.split())
    song = store.song(sheet).id
    for index in range(len(sheet.bars)):
        store.mark(planted.mark(song, sheet, index, after=index))
    return song


def test_marks_follow_their_bars_through_one_edit_after_another(store: Store) -> None:
    song = _marked(store, "C D E F G")
    store.song(planted.song(["A", "C", "D", "E", "F", "G"]))
    assert _where(store, song) == [1, 2, 3, 4, 5]
    store.song(planted.song(["A", "C", "D", "E♭", "F", "G"]))
    assert _where(store, song) == [1, 2, 3, 4, 5], "changed between its neighbours"
    store.song(planted.song(["A", "C", "D7", "E♭", "F", "G"]))
    assert _where(store, song) == [1, 2, 3, 4, 5], "the neighbour's turn"
    store.song(planted.song(["A", "C", "E♭", "F", "G"]))
    assert _where(store, song) == [1, None, 2, 3, 4], "taken out"
    store.song(planted.song(["E♭", "F", "A", "C", "G"]))
    assert _where(store, song) == [3, None, 0, 1, 4], "moved about"
    assert store.mark_counts(song) == {3: 1, 0: 1, 1: 1, 4: 1}


def test_a_bar_that_comes_back_takes_its_marks_again(store: Store) -> None:
    song = _marked(store, "C D E F G")
    store.song(planted.song(["C", "F", "G"]))
    assert _where(store, song) == [0, None, None, 1, 2]
    store.song(planted.song(["C", "D", "E", "F", "G"]))
    assert _where(store, song) == [0, 1, 2, 3, 4]


def test_the_marks_of_a_vamp_stay_in_order(store: Store) -> None:
    song = _marked(store, "Am D Am D Am D Am D")
    store.song(planted.song(["F", "Am", "D", "Am", "D", "Am", "D", "Am", "D", "C"]))
    assert _where(store, song) == list(range(1, 9))


def test_passes_follow_too(store: Store) -> None:
    sheet = planted.song(["C", "D", "E", "F", "G"])
    song = store.song(sheet).id
    run = planted.run(song)
    store.run_started(run)
    store.write_pass(planted.played(song, sheet, run.id, (1, 3)))
    store.song(planted.song(["A", "B", "C", "D", "E", "F", "G"]))
    assert [played.span for played in store.passes(song)] == [(3, 5)]
    store.song(planted.song(["A", "B", "C", "D", "E"]))
    assert [played.span for played in store.passes(song)] == [None]


def test_a_mark_of_a_program_that_has_not_read_the_edited_chart(store: Store) -> None:
    old = planted.song(["C", "D", "E", "F", "G"])
    song = store.song(old).id
    store.song(planted.song(["A", "B", "C", "D", "E", "F", "G"]))
    mark = planted.mark(song, old, 2)
    assert mark.bar == 2
    store.mark(mark)
    assert _where(store, song) == [4]


@given(edits(40))
def test_a_mark_on_a_bar_that_was_not_touched_stays_on_it(case: tuple[list[int], Edited]) -> None:
    old, new = case
    contents = [each for each, _ in new]
    assume(contents)  # a chart has a bar
    store = Store.in_memory()
    prints, now = ([f"{each:016x}" for each in bars] for bars in (old, contents))
    numbers = [str(number) for number in range(1, len(old) + 1)]
    song = store.song_opened("/gone/a", "A", prints, numbers).id
    sheet = planted.song(["C"] * len(old))
    around = ["", *prints, ""]
    for index in range(len(old)):
        anchor = Anchor(around[index + 1], around[index], around[index + 2], index, numbers[index])
        store.mark(planted.mark(song, sheet, index, after=index, anchor=anchor))
    assert store.song_opened("/gone/a", "A", now).id == song
    places = _where(store, song)
    store.close()
    untouched = _once(old) & _once(contents)
    for content in untouched:
        assert places[old.index(content)] == contents.index(content)
    for index, found in enumerate(places):
        if found is not None and contents[found] != old[index]:
            assert contents[found] not in untouched, "that bar is another one"
