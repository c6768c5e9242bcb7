"""The mark that a session puts into the log."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from chartwalk.log import mark_here
from chartwalk.practice import Session
from chartwalk.song import Song

TIME = datetime(2024, 5, 6, 7, 8, 9, tzinfo=UTC)


def test_a_mark_says_where_when_and_how_fast(demo: Callable[[str], Song]) -> None:
    song = demo("lanterns-at-low-tide")
    session = Session(song).at(9, 1).in_tempo(up=False)
    mark = mark_here(session, TIME)
    assert Path(mark.path).is_absolute()
    assert Path(mark.path).name == "lanterns-at-low-tide.lead"
    assert mark.title == "Lanterns at Low Tide"
    assert (mark.bar, mark.number, mark.pass_) == (1, "1", 2)
    assert mark.chord == "D/F#"
    assert mark.tempo == 80.0
    assert mark.time == TIME


def test_a_mark_on_a_held_chord_names_the_chord(session: Session) -> None:
    assert mark_here(session.at(2), TIME).chord == "C"


def test_a_mark_where_no_chord_sounds(written: Callable[..., Song]) -> None:
    assert mark_here(Session(written("tune | B4:4 |")), TIME).chord == ""


def test_a_song_is_known_by_its_full_path(demo: Callable[[str], Song]) -> None:
    assert demo("first-lamp").identity == mark_here(Session(demo("first-lamp")), TIME).path
