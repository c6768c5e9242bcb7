"""More verses than passes: the song is sung again (common practice, no source)."""

from typing import TYPE_CHECKING

from chartwalk.practice import Session
from chartwalk.tune import words_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from chartwalk.song import Song

HYMN = """\
chords  | G        | D    |
tune    | G4:2 A4:2 | B4:4 |
words   | one lamp | lit  |
words 2 | two lamps | glow |
words 3 | three lamps | burn |
"""
REPEATED = """\
chords  |: G :| D |
tune    | G4:4 | B4:4 |
words   | one | end |
words 2 | two | |
words 3 | three | |
words 4 | four | |
"""


def sung(session: Session) -> list[str]:
    """The words from here to the end of the last round."""
    heard = []
    while True:
        step = session.song.steps[session.step]
        heard.append(" ".join(s.text for s in words_of(session.song, step, session.round)))
        after = session.forward()
        if after == session:
            return heard
        session = after


def test_a_hymn_is_sung_once_a_verse(written: "Callable[[str], Song]") -> None:
    song = written(HYMN)
    assert song.rounds == 3
    assert sung(Session(song)) == [
        "one lamp", "lit", "two lamps", "glow", "three lamps", "burn",
    ]  # fmt: skip


def test_a_repeat_sings_two_verses_a_round(written: "Callable[[str], Song]") -> None:
    song = written(REPEATED)
    assert song.rounds == 2
    assert [words for words in sung(Session(song)) if words != "end"][:4] == [
        "one", "two", "three", "four",
    ]  # fmt: skip


def test_back_over_the_start_of_a_round(written: "Callable[[str], Song]") -> None:
    session = Session(written(HYMN)).again()
    assert (session.round, session.step) == (1, 0)
    back = session.forward(-1)
    assert (back.round, back.step) == (0, 1)
    first = back.forward(-1)
    assert (first.round, first.step) == (0, 0)
    assert first.forward(-1) == first


def test_after_the_last_verse_again_is_the_first(written: "Callable[[str], Song]") -> None:
    session = Session(written(HYMN)).again().again()
    assert session.round == 2
    assert session.again().round == 0


def test_one_verse_a_pass_needs_one_round(written: "Callable[[str], Song]") -> None:
    song = written("chords |: G :|\ntune | G4:4 |\nwords | one |\nwords 2 | two |\n")
    assert song.rounds == 1
    assert Session(song).end().forward() == Session(song).end()
