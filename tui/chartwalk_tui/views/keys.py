"""The key that a bar is heard in: the written one, or the guess where that contradicts it."""

from typing import TYPE_CHECKING

from chartwalk.key import Key
from chartwalk.practice import Session
from chartwalk.transpose import key_at

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess


def key_heard(session: Session, key: Key, guess: "KeyGuess | None") -> Key:
    """Return the key that the chords of a bar in ``key`` are counted from."""
    if guess is None or not _doubtful(session, guess):
        return key
    from chartwalk.analysis import main_key  # noqa: PLC0415 - only where a guess was made

    shift = session.arrangement.shift
    main = key_at(main_key(session.written.chart), shift)
    return key_at(guess.key, shift) if key == main else key


def guess_words(session: Session, guess: "KeyGuess | None") -> str:
    """Say that the written key is in doubt, or that there is none; empty where all is well."""
    if guess is None or not _doubtful(session, guess):
        return ""
    if not session.written.keyed:
        return f"The sheet names no key; it sounds like {guess.key}. That is a guess."
    from chartwalk.analysis import main_key  # noqa: PLC0415 - only where a guess was made

    written = main_key(session.written.chart)
    return f"The sheet says {written}; tune and chords sound like {guess.key}. That is a guess."


def _doubtful(session: Session, guess: "KeyGuess") -> bool:
    return guess.contradicts or not session.written.keyed
