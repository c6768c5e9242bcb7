"""The chord now, the chord next and the keys to light."""

from dataclasses import replace
from typing import Final

from chartwalk.chord import ChordSymbol, Motion, Palette, Tone, Use, motion
from chartwalk.pitch import Name
from chartwalk.practice import Session
from chartwalk_tui.views.words import news, when
from chartwalk_tui.widgets.chord_next import ChordNext
from chartwalk_tui.widgets.chord_now import ChordLetters, ChordNow, PaletteTone
from chartwalk_tui.widgets.keyboard import LitKey

KEY_ROLES: Final = {"now": "root-key", "tension": "tension-key", "dim": "spare-key"}


def chord_now(session: Session) -> ChordNow:
    """Return the chord now, its tones and its bass."""
    symbol = session.now.symbol
    if symbol is None:
        return ChordNow(ChordLetters(words="pickup" if session.bar.pickup else "no chord yet"))
    return chord_shown(letters_of(symbol), symbol.palette)


def chord_shown(letters: ChordLetters, palette: Palette) -> ChordNow:
    """Return a chord, or as much of it as has been read, with its tones and its bass."""
    tones = tuple(
        PaletteTone(_marked(tone), _degree(tone), _tone_role(tone)) for tone in palette.tones
    )
    return ChordNow(letters, tones, _bass_words(palette))


def chord_next(session: Session) -> ChordNext:
    """Return the next change, and how the hands get there."""
    ahead = session.ahead()
    if ahead is None:
        some = any(bar.changes for bar in session.song.bars)
        words = "no more changes" if some else "this sheet has no chords"
        return ChordNext(ChordLetters(words=words))
    symbol, now = ahead.symbol, session.now.symbol
    coming = session.song.steps[session.step + ahead.bars]
    why = " · ".join(filter(None, (ahead.why, news(session.bar, session.song.bars[coming.bar]))))
    found = ChordNext(letters_of(symbol), when(ahead.bars, ahead.beat), why)
    if symbol.silent:
        return found
    found = replace(found, names=names_of(symbol.palette))
    if now is None or now.silent:
        return found
    way = motion(now.palette, symbol.palette)
    held = {name.pitch_class: name for name in now.palette.names}
    return replace(
        found,
        stays=" ".join(_plain(held[name.pitch_class]) for name in way.stays),
        moves=move_words(way),
        bass=walk_words(session) or _bass_move(now, symbol),
    )


def names_of(palette: Palette) -> str:
    """Write the names of a palette in a row, those usually left out in brackets."""
    return " ".join(map(_marked, palette.tones))


def move_words(way: Motion) -> str:
    """Write what goes where, what joins and what leaves."""
    moves = [f"{_plain(old)}→{_plain(new)}" for old, new in way.moves]
    moves += [f"+{_plain(name)}" for name in way.joins]
    moves += [f"−{_plain(name)}" for name in way.leaves]
    return " ".join(moves)


def walk_words(session: Session) -> str:
    """Name the notes of a bass that walks, from the one under way on; empty where it does not."""
    walk = session.bass_walk()
    if walk is None:
        return ""
    before = "… " if walk.here else ""
    return f"walks {before}{' '.join(map(_plain, walk.names[walk.here :]))}"


def letters_of(symbol: ChordSymbol) -> ChordLetters:
    """Take a symbol apart for the big letters."""
    if symbol.root is None:
        return ChordLetters(root="N.C.")
    bass = f"/{symbol.bass}" if symbol.bass else ""
    return ChordLetters(str(symbol.root), symbol.suffix, bass)


def lit_keys(session: Session) -> tuple[LitKey, ...]:
    """Return the keys to light for the chord now, named as a player calls them."""
    symbol = session.now.symbol
    return keys_of(symbol.palette) if symbol else ()


def keys_of(palette: Palette) -> tuple[LitKey, ...]:
    """Return the keys to light for a palette; the bass stands out where it is not the root."""
    roles = {tone.name: KEY_ROLES.get(_tone_role(tone), "tone-key") for tone in palette.tones}
    lit = [
        LitKey(pitch.midi, _plain(pitch.name), roles.get(pitch.name, "tone-key"))
        for pitch in palette.keys
    ]
    if lit and palette.slashed:
        lit[0] = replace(lit[0], role="bass-key")
    return tuple(lit)


def _tone_role(tone: Tone) -> str:
    if tone.use is Use.LEFT_OUT:
        return "dim"
    if tone.degree.number == 1:
        return "now"
    return "tension" if tone.extension or tone.use is Use.CHOICE else "strong"


def _marked(tone: Tone) -> str:
    """Write a tone's name; what is usually left out stands in brackets."""
    return f"[{_both(tone.name)}]" if tone.use is Use.LEFT_OUT else _both(tone.name)


def _degree(tone: Tone) -> str:
    """Write a tone's degree; one to choose has a question mark."""
    return tone.degree.label + ("?" if tone.use is Use.CHOICE else "")


def _plain(name: Name) -> str:
    """Name the key as a player calls it."""
    return str(name.friendly or name)


def _both(name: Name) -> str:
    """Write the true name, and the plain one where they differ."""
    return f"{name}={name.friendly}" if name.friendly else str(name)


def _bass_words(palette: Palette) -> str:
    if not palette.slashed:
        return ""
    tone = palette.bass_tone
    return f"over {palette.bass}" + (f", the {tone.degree.label}" if tone else ", not in the chord")


def _bass_move(now: ChordSymbol, coming: ChordSymbol) -> str:
    old, new = now.palette.bass, coming.palette.bass
    if old is None or new is None:
        return ""
    same = old.pitch_class == new.pitch_class
    return f"{_plain(old)} stays" if same else f"{_plain(old)}→{_plain(new)}"
