"""The key that a bar is heard in: the written one, or the guess where that contradicts it."""

from chartwalk.analysis import KeyGuess, main_key
from chartwalk.key import Key
from chartwalk.practice import Session
from chartwalk.transpose import key_at


def key_heard(session: Session, key: Key, guess: KeyGuess | None) -> Key:
    """Return the key that the chords of a bar in ``key`` are counted from."""
    if guess is None or not guess.contradicts:
        return key
    shift = session.arrangement.shift
    main = key_at(main_key(session.written.chart), shift)
    return key_at(guess.key, shift) if key == main else key


def guess_words(session: Session, guess: KeyGuess | None) -> str:
    """Say that the written key is in doubt; empty where it is not."""
    if guess is None or not guess.contradicts:
        return ""
    written = main_key(session.written.chart)
    return f"The sheet says {written}; tune and chords sound like {guess.key}. That is a guess."
