"""The passage that is looped: set out by hand, or the section under way."""

from collections.abc import Callable

import pytest

from chartwalk.practice import Session
from chartwalk.song import Song

Written = Callable[..., Song]


def test_a_passage_is_set_out_from_both_ends(session: Session) -> None:
    assert session.passage is None
    begun = session.at(2).starting_here()
    assert begun.passage == (2, 2)
    ended = begun.at(5).ending_here()
    assert ended.passage == ended.stretch == (2, 5)
    assert ended.at(7).stretch == (2, 5)  # wherever the player goes


@pytest.mark.parametrize(
    ("passage", "here", "starting", "ending"),
    [
        ((2, 5), 3, (3, 5), (2, 3)),
        ((2, 5), 7, (7, 7), (2, 7)),  # a start after the end is a passage of one bar
        ((2, 5), 0, (0, 5), (0, 0)),
        ((2, 5), 5, (5, 5), (2, 5)),
        ((4, 4), 4, None, (4, 4)),  # both ends in one bar: a passage of one bar
        ((2, 5), 2, None, (2, 2)),
        (None, 4, (4, 4), (4, 4)),
    ],
)
def test_either_end_can_be_moved_and_is_taken_back_where_it_is(
    session: Session,
    passage: tuple[int, int] | None,
    here: int,
    starting: tuple[int, int] | None,
    ending: tuple[int, int] | None,
) -> None:
    set_out = session
    if passage:
        set_out = session.at(passage[0]).starting_here().at(passage[1]).ending_here()
    set_out = set_out.at(here)
    assert set_out.starting_here().passage == starting
    assert set_out.ending_here().passage == ending


def test_without_a_passage_it_is_the_section_up_to_the_next_jump(written: Written) -> None:
    song = written(
        "section A\nchords |: C | D :| E |\n\nsection B\nchords | F | G |\n\n"
        "section A\nchords | C |"
    )
    # Steps by bar: C D | C D E | F G | C: the repeat and the sections part them.
    assert [step.bar for step in song.steps] == [0, 1, 0, 1, 2, 3, 4, 5]
    stretches = [(0, 1)] * 2 + [(2, 4)] * 3 + [(5, 6)] * 2 + [(7, 7)]
    assert [Session(song).at(step).stretch for step in range(8)] == stretches


def test_a_passage_stays_in_another_key_and_depth(session: Session) -> None:
    session = session.at(1).starting_here().at(3).ending_here()
    moved = session.arrange(session.arrangement.moved(2).plainer())
    assert moved.stretch == (1, 3)
