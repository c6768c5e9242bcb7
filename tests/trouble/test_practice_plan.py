"""A practice plan: its minutes, its pauses, its turns and its songs."""

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.trouble.logs import Log, on, straight, written

from chartwalk.log.records import PassRecord
from chartwalk.song import Song
from chartwalk.trouble.plan import Item, Part, make_plan, minutes_of
from chartwalk.trouble.returning import Return
from chartwalk.trouble.spots import Spot
from chartwalk.trouble.turns import in_turns

SONGS = {name: straight(name) for name in "abcde"}
TODAY = 3


def log_of(spots: dict[str, list[int]]) -> dict[Spot, Return]:
    """Spots marked on the first day: for each song how often each of its bars was."""
    found: dict[Spot, Return] = {}
    for song, counts in spots.items():
        log = Log(song)
        for place, count in enumerate(counts):
            for _ in range(count):
                log.mark(2 * place)
        found |= log.returns(SONGS[song], TODAY)
    return found


def planned(
    minutes: int,
    spots: dict[str, list[int]],
    passes: Sequence[PassRecord] = (),
    songs: dict[str, Song] = SONGS,
) -> tuple[Item, ...]:
    return make_plan(minutes, songs, log_of(spots), passes, on(TODAY))


def told(items: Sequence[Item]) -> list[str]:
    return [f"{item.part.value} {item.song} {item.minutes}".replace("  ", " ") for item in items]


def minutes_by_part(items: Sequence[Item]) -> dict[str, int]:
    counts: Counter[str] = Counter()
    for item in items:
        counts[item.part.value] += item.minutes
    return dict(counts)


def test_an_hour() -> None:
    items = planned(60, {"a": [4, 1], "b": [2]}, Log("c").played(0, 7).passes)
    assert minutes_by_part(items) == {
        "spot": 33,  # six tenths of the 55 played
        "slow run-through": 13,
        "for pleasure": 9,
        "pause": 5,
    }
    assert told(items)[:3] == ["spot a 4", "spot b 3", "spot a 3"]
    assert items[0].spot is not None
    assert (items[0].spot.bars, items[0].why) == ((0,), "due for 2 days")
    assert told(items)[-1] == "for pleasure c 9"


def test_first_the_spots_then_slowly_then_for_pleasure() -> None:
    items = planned(25, {"a": [1], "b": [1]})
    order = [item.part for item in items]
    assert order == sorted(order, key=list(Part).index)
    assert set(order) == {Part.SPOT, Part.SLOW, Part.PLEASURE}


def test_a_spot_has_twelve_minutes_at_most() -> None:
    # Carter & Grahn 2016: twelve minutes a piece in all, in turns of three.
    items = planned(60, {"a": [1]})
    assert minutes_by_part(items)["spot"] == 12
    assert [item.minutes for item in items if item.spot] == [3, 3, 3, 3]


def test_a_pause_after_25_minutes() -> None:
    # Klickstein, The Musician's Way, p. 75: five minutes after twenty-five.
    items = planned(90, {"a": [1, 1], "b": [1, 1], "c": [1]})
    played, blocks = 0, []
    for item in items:
        if item.part is Part.PAUSE:
            assert item.minutes == 5
            blocks.append(played)
            played = 0
        else:
            played += item.minutes
    assert [*blocks, played] == [25, 25, 30]


def test_slow_run_throughs_of_the_songs_with_due_spots_first() -> None:
    passes = [*Log("b").played(0, 7, 2).passes, *Log("e").played(0, 7, 1).passes]
    items = planned(60, {"c": [3], "d": [1]}, passes)
    slow = list(dict.fromkeys(item.song for item in items if item.part is Part.SLOW))
    assert slow[:3] == ["c", "d", "a"]  # then a, never played
    assert "e" not in slow  # it is the one for pleasure
    assert {item.song for item in items if item.part is Part.PLEASURE} == {"e"}
    first = next(item for item in items if item.part is Part.SLOW)
    assert first.tempo == 69  # three quarters are 72
    assert first.why == "at 69 of 96"


def test_for_pleasure_the_song_with_least_trouble_of_those_known() -> None:
    passes = [each for song in "abc" for each in Log(song).played(0, 7, 2).passes]
    items = planned(20, {"a": [1], "b": [4]}, passes)
    assert items[-1].song == "c"
    trouble_everywhere = planned(20, {"a": [2], "b": [1], "c": [4]}, passes)
    assert trouble_everywhere[-1].song == "b"


def test_without_spots_there_is_music_all_the_same() -> None:
    assert minutes_by_part(planned(20, {})) == {"slow run-through": 12, "for pleasure": 8}


def test_spots_that_are_not_due_are_left_alone() -> None:
    log = Log("a").mark(0).played(0, 0, 1).played(0, 0, 2)
    items = make_plan(25, SONGS, log.returns(SONGS["a"], TODAY), log.passes, on(TODAY))
    assert Part.SPOT not in {item.part for item in items}


def test_what_was_marked_today_is_worked_on_today_after_what_is_due() -> None:
    log = Log("a").mark(0).mark(4, TODAY).mark(4, TODAY)
    items = make_plan(10, SONGS, log.returns(SONGS["a"], TODAY), log.passes, on(TODAY))
    spots = [(item.spot.bars, item.why) for item in items if item.spot]
    assert spots == [((0,), "due for 2 days"), ((4,), "marked today")]


@pytest.mark.parametrize(
    "told", [{"clean": True, "kind": "loop"}, {"clean": False, "kind": "drill"}]
)
def test_what_was_worked_on_today_waits_for_its_day(told: dict[str, object]) -> None:
    log = Log("a").mark(4, TODAY).played(4, 4, TODAY + 0.01, **told)
    items = make_plan(10, SONGS, log.returns(SONGS["a"], TODAY + 0.02), log.passes, on(TODAY))
    assert Part.SPOT not in {item.part for item in items}


def test_with_one_song_all_is_that_song() -> None:
    items = planned(45, {"a": [1, 1]}, songs={"a": SONGS["a"]})
    assert {item.song for item in items if item.part is not Part.PAUSE} == {"a"}
    assert sum(item.minutes for item in items) == 45


@pytest.mark.parametrize("minutes", [1, 2, 3])
def test_the_shortest_practice_goes_to_the_spot_that_is_due(minutes: int) -> None:
    assert told(planned(minutes, {"a": [1]})) == [f"spot a {minutes}"]
    assert told(planned(minutes, {})) == [f"for pleasure a {minutes}"]


def test_without_songs_there_is_no_plan() -> None:
    assert planned(30, {"a": [1]}, songs={}) == ()


def test_a_plan_lasts_a_minute_or_more() -> None:
    with pytest.raises(ValueError, match="minute"):
        planned(0, {})


def test_how_long_a_song_lasts() -> None:
    assert minutes_of(written("chords |: C | F :|", tempo="80")) * 80 == 16  # beats
    waltz = written("meter 6/8\ntempo 40\nchords | C | F |")
    assert minutes_of(waltz) * 40 == 4  # dotted quarters


spots_of_songs = st.dictionaries(
    st.sampled_from("abcde"), st.lists(st.integers(1, 4), min_size=1, max_size=4), max_size=5
)


@given(st.integers(1, 240), spots_of_songs, st.sets(st.sampled_from("abcde"), min_size=1))
def test_the_minutes_are_all_given_away(
    minutes: int, spots: dict[str, list[int]], shelf: set[str]
) -> None:
    songs = {name: SONGS[name] for name in sorted(shelf)}
    items = planned(minutes, spots, songs=songs)
    assert sum(item.minutes for item in items) == minutes
    assert all(item.minutes > 0 and item.why for item in items)
    assert all(item.song in shelf for item in items if item.part is not Part.PAUSE)
    assert items[-1].part is not Part.PAUSE
    assert all((item.spot is not None) == (item.part is Part.SPOT) for item in items)
    assert all(item.minutes >= 3 for item in items) or minutes < 3


@given(st.integers(5, 240), spots_of_songs)
def test_every_pause_comes_after_25_minutes(minutes: int, spots: dict[str, list[int]]) -> None:
    played = 0
    for item in planned(minutes, spots):
        if item.part is Part.PAUSE:
            assert played == 25
            played = 0
        else:
            played += item.minutes
    assert played < 35


groups = st.lists(st.sampled_from("xyz"), min_size=1, max_size=4)


def neighbours(order: Sequence[str]) -> int:
    return sum(before == following for before, following in pairwise(order))


@given(groups, st.integers(0, 7))
def test_no_two_neighbours_of_one_song_where_that_can_be_avoided(
    groups: list[str], count: int
) -> None:
    found = in_turns([(group, (group, place)) for place, group in enumerate(groups)], count)
    order = [group for group, _ in found]
    best = min((neighbours(other) for other in set(permutations(order))), default=0)
    assert neighbours(order) == best


@given(st.lists(st.sampled_from("vwxyz"), min_size=1, max_size=8), st.integers(0, 40))
def test_every_item_has_its_turns(groups: list[str], count: int) -> None:
    found = in_turns([(group, place) for place, group in enumerate(groups)], count)
    turns = [found.count(place) for place in range(len(groups))]
    assert sum(turns) == count
    assert max(turns) - min(turns) <= 1
    assert turns == sorted(turns, reverse=True)


def test_the_worst_comes_first_and_others_between() -> None:
    items = [("a", "a1"), ("b", "b1"), ("a", "a2"), ("c", "c1")]
    assert in_turns(items, 8) == ("a1", "b1", "a2", "c1", "a1", "b1", "a2", "c1")
    assert in_turns([], 5) == ()
