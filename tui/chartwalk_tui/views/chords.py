"""The chord now, the chord next and the keys to light."""

from dataclasses import replace

from chartwalk.chord import ChordSymbol, Tone, motion
from chartwalk.pitch import Name
from chartwalk.practice import Session
from chartwalk_tui.views.words import news, when
from chartwalk_tui.widgets.chord_next import ChordNext
from chartwalk_tui.widgets.chord_now import ChordLetters, ChordNow, PaletteTone
from chartwalk_tui.widgets.keyboard import LitKey


def chord_now(session: Session) -> ChordNow:
    """Return the chord now, its tones and its bass."""
    symbol = session.now.symbol
    if symbol is None:
        return ChordNow(ChordLetters(words="pickup" if session.bar.pickup else "no chord yet"))
    if symbol.silent:
        return ChordNow(letters_of(symbol))
    tones = tuple(
        PaletteTone(_both(tone.name), tone.degree.label, _tone_role(tone))
        for tone in symbol.palette.tones
    )
    return ChordNow(letters_of(symbol), tones, _bass_words(symbol))


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
    found = replace(found, names=" ".join(map(_both, symbol.palette.names)))
    if now is None or now.silent:
        return found
    way = motion(now.palette, symbol.palette)
    held = {name.pitch_class: name for name in now.palette.names}
    moves = [f"{_plain(old)}→{_plain(new)}" for old, new in way.moves]
    moves += [f"+{_plain(name)}" for name in way.joins]
    moves += [f"−{_plain(name)}" for name in way.leaves]
    return replace(
        found,
        stays=" ".join(_plain(held[name.pitch_class]) for name in way.stays),
        moves=" ".join(moves),
        bass=_bass_move(now, symbol),
    )


def letters_of(symbol: ChordSymbol) -> ChordLetters:
    """Take a symbol apart for the big letters."""
    if symbol.root is None:
        return ChordLetters(root="N.C.")
    bass = f"/{symbol.bass}" if symbol.bass else ""
    return ChordLetters(str(symbol.root), symbol.suffix, bass)


def lit_keys(session: Session) -> tuple[LitKey, ...]:
    """Return the keys to light for the chord now, named as a player calls them."""
    symbol = session.now.symbol
    if symbol is None:
        return ()
    palette = symbol.palette
    roles = {tone.name: _tone_role(tone) for tone in palette.tones}
    keys = {"now": "root-key", "tension": "tension-key"}
    lit = []
    for place, pitch in enumerate(palette.keys):
        role = keys.get(roles.get(pitch.name, ""), "tone-key")
        if place == 0 and symbol.bass:
            role = "bass-key"
        lit.append(LitKey(pitch.midi, _plain(pitch.name), role))
    return tuple(lit)


def _tone_role(tone: Tone) -> str:
    if tone.degree.number == 1:
        return "now"
    return "tension" if tone.extension else "strong"


def _plain(name: Name) -> str:
    """Name the key as a player calls it."""
    return str(name.friendly or name)


def _both(name: Name) -> str:
    """Write the true name, and the plain one where they differ."""
    return f"{name}={name.friendly}" if name.friendly else str(name)


def _bass_words(symbol: ChordSymbol) -> str:
    if symbol.bass is None:
        return ""
    tone = symbol.palette.bass_tone
    return f"over {symbol.bass}" + (f", the {tone.degree.label}" if tone else ", not in the chord")


def _bass_move(now: ChordSymbol, coming: ChordSymbol) -> str:
    old, new = now.palette.bass, coming.palette.bass
    if old is None or new is None:
        return ""
    same = old.pitch_class == new.pitch_class
    return f"{_plain(old)} stays" if same else f"{_plain(old)}→{_plain(new)}"
