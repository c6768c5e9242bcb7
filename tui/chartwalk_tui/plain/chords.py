"""Chords in words: the symbol, its notes, and the way to the next one."""

import re
from collections.abc import Callable, Iterable, Iterator
from itertools import groupby
from typing import Final

from chartwalk.chord import ChordSymbol, Palette, Tone, Use, motion
from chartwalk.chord.recipe import listed
from chartwalk.pitch import Name
from chartwalk.practice import Session
from chartwalk_tui.views.words import chordless_words, news, when

ChordWords = Callable[[ChordSymbol], str]
"""How a symbol is told: `symbol_words`, or `symbol_signs` for fingers."""

_WORDS: Final = (
    (r"6/9|69", "6 9"),
    (r"half-?dim(?:inished)?|hdim|[øØ∅⌀]", "half diminished"),
    (r"dim(?:inished)?|[°º˚]", "diminished"),
    (r"dom|rd|th", ""),
    (r"[nN]o|[oO]mit", "no"),
    (r"o", "diminished"),
    (r"aug(?:mented)?|\+(?!\d)", "augmented"),
    (r"[aA]dd", "add"),
    (r"alt", "altered"),
    (r"quartal", "quartal"),
    (r"sus", "sus"),
    (r"24", "2 4"),
    (r"42", "4 2"),
    (r"[Δ△∆](?!\d)", "major 7"),
    (r"major|[mM]aj|MAJ|[mM]a|MA|M|[Δ△∆]|j", "major"),
    (r"minor|[mM]in|MIN|[mM]i|MI|m|[-−–](?!\d)", "minor"),
    (r"[♯#+]", "sharp"),
    (r"[♭b−–-]", "flat"),
    (r"♮", "natural"),
    (r"\d+", r"\g<0>"),
)
"""What the signs of a symbol are called, in the order in which they are tried.

A small m and a large one sound alike, so they are minor and major (common practice, no source).
"""

_SIGNS: Final = re.compile("|".join(f"({pattern})" for pattern, _ in _WORDS))
_FOR_FINGERS: Final = str.maketrans(
    dict.fromkeys("Δ△∆", "maj") | dict.fromkeys("°º˚", "dim") | dict.fromkeys("∅⌀", "ø")
)


def symbol_words(symbol: ChordSymbol) -> str:
    """Say a symbol from left to right.

    >>> [symbol_words(ChordSymbol.parse(text)) for text in ("Am7", "D/F#", "Bb7(b9,#11)", "C(b5)")]
    ['A minor 7', 'D over F♯', 'B♭ 7 flat 9 sharp 11', 'C with flat 5']
    """
    if symbol.root is None:
        return "no chord"
    pieces = symbol.pieces[1 : -1 if symbol.bass else None]
    words = " ".join(word for piece in pieces for word in _piece_words(piece.display))
    if words.startswith(("sharp", "flat")):  # else it would be heard as part of the root
        words = f"with {words}"
    over = f"over {symbol.bass}" if symbol.bass else ""
    return " ".join(filter(None, (str(symbol.root), words, over)))


def symbol_signs(symbol: ChordSymbol) -> str:
    """Write a symbol as it is written, with letters for the signs that few know by touch.

    >>> symbol_signs(ChordSymbol.parse("C△7"))
    'Cmaj7'
    """
    return symbol.display.translate(_FOR_FINGERS)


def _piece_words(piece: str) -> Iterator[str]:
    for found in _SIGNS.finditer(piece):
        _, words = _WORDS[(found.lastindex or 1) - 1]
        if word := found.expand(words):
            yield word


def chord_line(session: Session, chord: ChordWords) -> str:
    """Say the chord now, its notes, and its bass where that is not the root."""
    symbol = session.now.symbol
    if symbol is None or symbol.silent:
        return chordless_words(session)
    return f"{chord(symbol)}: {palette_words(symbol.palette)}."


def palette_words(palette: Palette) -> str:
    """Name the notes of a palette: those that are played, those to choose, those left out."""
    tones = {use: [tone for tone in palette.tones if tone.use is use] for use in Use}
    parts = [_in_a_row(map(_both, tones[Use.PLAYED]))]
    if choices := tones[Use.CHOICE]:
        pairs = groupby(choices, lambda tone: tone.degree.number)
        parts.append(f"to choose, {_in_a_row(' or '.join(map(_both, pair)) for _, pair in pairs)}")
    if spare := tones[Use.LEFT_OUT]:
        parts.append(f"usually left out, {_in_a_row(map(_both, spare))}")
    if palette.slashed:
        tone = palette.bass_tone
        what = f"the {tone.degree.label}" if tone else "not in the chord"
        parts.append(f"bass {palette.bass}, {what}")
    return "; ".join(parts)


def chord_in_full(symbol: ChordSymbol, chord: ChordWords) -> Iterator[str]:
    """Yield lines that tell each note of a symbol with its degree, and why it is there."""
    yield f"{chord(symbol)}."
    tones = symbol.palette.tones
    if tones:
        yield f"{_in_a_row(f'{tone.degree.label} {_both(tone)}' for tone in tones)}."
    yield from (f"{line.replace('=', ' equals ')}." for line in symbol.explanation)


def next_line(session: Session, chord: ChordWords) -> str:
    """Say the next change, when it comes, and what stays and what moves."""
    ahead = session.ahead()
    if ahead is None:
        some = any(bar.changes for bar in session.song.bars)
        return "No more changes." if some else "This sheet has no chords."
    coming = session.song.bars[session.song.steps[session.step + ahead.bars].bar]
    head = f"Next, {chord(ahead.symbol)} {when(ahead.bars, ahead.beat)}"
    told = ", ".join(filter(None, (head, ahead.why, news(session.bar, coming))))
    now = session.now.symbol
    if ahead.symbol.silent:
        return f"{told}."
    if now is None or now.silent:
        return f"{told}: {palette_words(ahead.symbol.palette)}."
    return f"{told}: {way_words(session, now, ahead.symbol)}."


def way_words(session: Session, now: ChordSymbol, coming: ChordSymbol) -> str:
    """Say what stays and what goes where between two chords, and what the bass does."""
    way = motion(now.palette, coming.palette)
    held = {name.pitch_class: name for name in now.palette.names}
    stays = [_plain(held[name.pitch_class]) for name in way.stays]
    moves = [f"{_plain(old)} to {_plain(new)}" for old, new in way.moves]
    moves += [f"{_plain(name)} joins" for name in way.joins]
    moves += [f"{_plain(name)} leaves" for name in way.leaves]
    stay = "stays" if len(stays) == 1 else "stay"
    hands = [f"{listed(stays)} {stay}"] if stays else []
    return "; ".join(filter(None, (_in_a_row([*hands, *moves]), _bass_words(session, now, coming))))


def _bass_words(session: Session, now: ChordSymbol, coming: ChordSymbol) -> str:
    if walk := session.bass_walk():
        return f"bass walks {_in_a_row(map(_plain, walk.names[walk.here :]))}"
    old, new = now.palette.bass, coming.palette.bass
    if old is None or new is None:
        return ""
    same = old.pitch_class == new.pitch_class
    return f"bass {_plain(old)} stays" if same else f"bass {_plain(old)} to {_plain(new)}"


def _in_a_row(words: Iterable[str]) -> str:
    return ", ".join(words)


def _plain(name: Name) -> str:
    """Name the key as a player calls it."""
    return str(name.friendly or name)


def _both(tone: Tone) -> str:
    """Say the true name, and the plain one where they differ."""
    friendly = tone.name.friendly
    return f"{tone.name}, the key {friendly}" if friendly else str(tone.name)
