"""The play order as a player says it. Each road and its words were worked out by hand."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.chart import Chart, Section
from chartwalk.itinerary import Stretch, itinerary, phrases, step_on
from chartwalk.problems import ChartError
from chartwalk.roadmap import unroll
from chartwalk.song import Song

Road = Callable[[str], Chart]

# The road, the sections with the number of their bars, the words.
SAID = [
    (". / . / .", "", "1-3"),
    (".", "Verse 1", "Verse 1"),
    (". / . / .", "Verse 2, Bridge 1", "Verse 1-2, Bridge 3"),
    (". / :| / .", "", "1-2, again 1-3"),
    ("|:, :| 4x / .", "", "1, again 1, 3rd time 1, 4th time 1-2"),
    (
        "|: / . / . / . / . / . / . / 1., :| / 2., segno / . / . / to coda / ds al coda / coda / .",
        "Verse 9, Bridge 4, Coda 2",
        "Verse 1-8, again 1-7, 2nd ending 9, Bridge 10-13, "
        "back to the segno: Verse 9, Bridge 10-12, to the coda: 14-15",
    ),
    (
        "|: / . / segno / . / . / to coda / . / 1., :| / 2. / . / ds al coda / coda / . / .",
        "Verse 11, Out 3",
        "Verse 1-8, again 1-7, 2nd ending 9-11, back to the segno: 3-6, to the coda: Out 12-14",
    ),
    ("0 . / |: / . / 1., :| / 2.", "", "pickup and 1-3, again 1-2, 2nd ending 4"),
    ("0 . / dc", "", "pickup and 1, back to the beginning: pickup and 1"),
    (". / . / fine / dc al fine", "Minuet 2, Trio 2",
     "Minuet 1-2, Trio 3-4, back to the beginning: Minuet 1-2, Trio 3 to Fine"),
    # At the end of the page nobody needs to say Fine.
    (". / segno / ds al fine, fine", "", "1-3, back to the segno: 2-3"),
    ("|: / 1. 3., :| / 2., :| / .", "", "1-2, again 1, 2nd ending 3, 3rd time 1-2, "
     "past the other endings: 4"),
    # A name within the words of a jump is not said twice; a letter of them is no name.
    (". / :|", "A 2", "A 1-2, again 1-2"),
    (". / dc / .", "A 2, B 1", "A 1-2, back to the beginning: 1-2, B 3"),
    (". / . / :|", "A 1, again 2", "A 1, again 2-3, again A 1, again 2-3"),
    (". / |:, :| 0x / .", "", "1, skipping the repeat: 3"),
    # A last ending that is not closed lasts to the next section, and nothing begins within that.
    ("|: / 1. / :| / 2. / . / .", "Verse 4, Bridge 2",
     "Verse 1-3, again 1, 2nd ending 4, Bridge 5-6"),
]  # fmt: skip


def song_of(chart: Chart, sections: str = "") -> Song:
    """A song whose bars are shared out: ``Verse 2, Bridge 1``."""
    bars, parts = list(chart.bars), []
    for part in sections.split(", ") if sections else []:
        name, _, length = part.rpartition(" ")
        parts.append(Section(name, tuple(bars[: int(length)])))
        del bars[: int(length)]
    chart = Chart("Road", tuple(parts)) if parts else chart
    assert not (sections and bars)
    return Song(Path("road.lead"), chart, unroll(chart))


@pytest.mark.parametrize(("layout", "sections", "words"), SAID)
def test_as_a_player_says_it(road: Road, layout: str, sections: str, words: str) -> None:
    assert ", ".join(phrases(song_of(road(layout), sections))) == words


def test_stretches(road: Road) -> None:
    song = song_of(road(". / |: / 1., :| / 2. / dc / ."), "Verse 4, Out 2")
    assert itinerary(song) == (
        Stretch(0, 0, 2, "Verse", 1),
        Stretch(3, 1, 1, "Verse", 2, "repeat, 2nd time"),
        Stretch(4, 3, 3, "Verse", 2, "2nd ending"),
        Stretch(5, 4, 4, "Out", 1),
        Stretch(6, 0, 1, "Verse", 2, "back to the beginning"),
        Stretch(8, 3, 3, "Verse", 3, "2nd ending"),
        Stretch(9, 4, 5, "Out", 2),
    )


CELLS = st.sampled_from(
    [".", ".", "|:", ":|", "|:, :|", "1., :|", "2.", "segno", "ds", "dc", "fine", "dc al fine"]
)


@given(st.lists(CELLS, min_size=1, max_size=12).map(" / ".join), st.integers(1, 12))
def test_the_stretches_are_the_play_order(road: Road, text: str, length: int) -> None:
    chart = road(text)
    head, tail = chart.bars[:length], chart.bars[length:]
    names = [Section(name, bars) for name, bars in (("A", head), ("B", tail)) if bars]
    try:
        song = Song(Path("road.lead"), chart := Chart("Road", tuple(names)), unroll(chart))
    except ChartError:
        return
    stretches = itinerary(song)
    played = [bar for part in stretches for bar in range(part.first, part.last + 1)]
    assert played == [step.bar for step in song.steps]
    assert [part.why for part in stretches if part.why] == [s.why for s in song.steps if s.why]
    for part in stretches:
        assert set(song.section_names[part.first : part.last + 1]) == {part.section}
        assert (song.steps[part.step].bar, song.steps[part.step].pass_) == (part.first, part.pass_)
    assert len(phrases(song)) == len(stretches)


def test_the_nearest_step_on_a_bar(road: Road) -> None:
    song = song_of(road("|: / . / :| / ."))
    # 1 2 3 1 2 3 4: bar 1 (index 0) is steps 0 and 3.
    assert [step_on(song, 0, near) for near in (0, 1, 2, 6)] == [0, 0, 3, 3]
    assert step_on(song, 3, 0) == 6


def test_two_steps_as_near_as_each_other_give_the_later_one(road: Road) -> None:
    song = song_of(road("|: / :|"))
    assert [step.bar for step in song.steps] == [0, 1, 0, 1]
    assert step_on(song, 0, 1) == 2
    assert step_on(song, 1, 2) == 3


def test_a_bar_that_is_never_played_has_no_step(road: Road) -> None:
    assert step_on(song_of(road(". / |:, :| 0x / .")), 1, 0) is None
