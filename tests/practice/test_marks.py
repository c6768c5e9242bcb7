"""The mark that a session puts into the log."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

from chartwalk.arrange import Arrangement
from chartwalk.log import Kind, anchor_at, mark_here
from chartwalk.practice import Session
from chartwalk.song import Song

TIME = datetime(2024, 5, 6, 7, 8, 9, tzinfo=UTC)


def test_a_mark_says_where_when_and_how_fast(demo: Callable[[str], Song]) -> None:
    song = demo("lanterns-at-low-tide")
    session = Session(song).at(9, 1).in_tempo(up=False)
    mark = mark_here(session, "song", TIME)
    assert (mark.song, mark.bar, mark.anchor, mark.pass_) == ("song", 1, anchor_at(song.bars, 1), 2)
    assert (mark.anchor.number, mark.beat) == ("1", Fraction(3))
    assert (mark.came_from, mark.chord) == ("G", "D/F#")
    assert (mark.tempo, mark.goal) == (80.0, 84.0)
    assert (mark.time, mark.day) == (TIME, date(2024, 5, 6))
    assert (mark.kind, mark.words) == (Kind.UNSAID, "")


def test_every_mark_has_an_id_of_its_own(session: Session) -> None:
    ids = {mark_here(session, "song", TIME).id for _ in range(5)}
    assert len(ids) == 5
    assert all(len(each) == 32 and int(each, 16) >= 0 for each in ids)


def test_a_mark_on_a_held_chord_names_the_chord_and_the_one_before_it(
    written: Callable[..., Song],
) -> None:
    session = Session(written("chords | G | C | | D |"))
    held = mark_here(session.at(2), "song", TIME)
    assert (held.came_from, held.chord) == ("G", "C")
    after = mark_here(session.at(3), "song", TIME)
    assert (after.came_from, after.chord) == ("C", "D")


def test_the_first_chord_came_from_nowhere(written: Callable[..., Song]) -> None:
    mark = mark_here(Session(written("chords | G | C |")), "song", TIME)
    assert (mark.came_from, mark.chord) == ("", "G")


def test_a_mark_where_no_chord_sounds(written: Callable[..., Song]) -> None:
    assert mark_here(Session(written("tune | B4:4 |")), "song", TIME).chord == ""


def test_a_jump_leads_from_the_chord_that_was_played(written: Callable[..., Song]) -> None:
    session = Session(written("chords |: G | C | D :| A |"))
    assert mark_here(session.at(3), "song", TIME).came_from == "D"


def test_a_song_in_another_key_is_marked_as_the_sheet_has_it(session: Session) -> None:
    shifted = session.arrange(replace(Arrangement(), shift=3))
    plain, moved = (mark_here(each, "song", TIME) for each in (session, shifted))
    assert replace(moved, id=plain.id) == plain


def test_the_day_is_the_players_and_the_time_in_utc(session: Session) -> None:
    """Half past midnight in Auckland is still the day before in Greenwich."""
    there = datetime(2024, 5, 7, 0, 30, tzinfo=ZoneInfo("Pacific/Auckland"))
    mark = mark_here(session, "song", there)
    assert mark.day == date(2024, 5, 7)
    assert mark.time == datetime(2024, 5, 6, 12, 30, tzinfo=UTC)
    assert mark.time.tzinfo is UTC
