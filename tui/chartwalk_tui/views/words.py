"""How numbers, beats and changes are said on screen."""

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from chartwalk.chart import Bar, carried_tempo
from chartwalk.depth import Depth
from chartwalk.practice import Session
from chartwalk.transpose import interval_between, interval_words, key_at
from chartwalk_tui.printable import count

if TYPE_CHECKING:
    from chartwalk.guide import Guide

PICKUP: Final = "0"  # the printed number of a pickup


def when(bars: int, beat: Fraction) -> str:
    """Say when a change comes: on beat 3, next bar, in 2 bars, beat 3."""
    on = _beat_words(beat)
    if bars == 0:
        return f"on {on}"
    far = "next bar" if bars == 1 else f"in {bars} bars"
    return far if beat == 1 else f"{far}, {on}"


def _beat_words(beat: Fraction) -> str:
    """Say a beat: beat 3, the and of 3, or the exact place after it."""
    whole, rest = divmod(beat, 1)
    if rest == 0:
        return f"beat {whole}"
    return f"the and of {whole}" if rest == Fraction(1, 2) else f"beat {whole} and {rest}"


def key_words(session: Session) -> str:
    """Say in which key the song is played now, and how far that is from the written one."""
    written, shift = session.written.chart.bars[0].key, session.arrangement.shift
    key, way = key_at(written, shift), interval_words(interval_between(written, shift))
    return f"{key}: {way}." if shift else f"{key}, as written."


def depth_words(session: Session) -> str:
    """Say how much of the symbols is played, and what is left out."""
    spared = sum(map(len, session.song.spared))
    changes = sum(len(bar.changes) for bar in session.written.bars)
    return {
        Depth.WRITTEN: "All chords as written.",
        Depth.LEAN: f"Lean: {count(spared, 'change')} of {changes} left out, shown in [ ]."
        if spared
        else "Lean: nothing crowds here, so all chords as written.",
        Depth.PLAIN: "Plain: triads, with m, dim, aug and a held sus; no figures, no slash.",
    }[session.arrangement.depth]


def bar_words(number: str) -> str:
    """Name a bar by its printed number, as a player calls it: bar 7, the pickup."""
    return "the pickup" if number == PICKUP else f"bar {number}"


def no_bar_words(session: Session, number: str) -> str:
    """Say that the song has no bar of a number, and which it has."""
    bars = session.song.bars
    numbers = [bar.number for bar in bars if bar.number != PICKUP] or [PICKUP]
    pickup = f", the pickup is {PICKUP}" if bars[0].number == PICKUP else ""
    return f"No bar {number}: the bars go from {numbers[0]} to {numbers[-1]}{pickup}."


def bars_words(session: Session, first: int, last: int) -> str:
    """Name the bars of some steps by their printed numbers: bar 7, bars 7-9, pickup to bar 8."""
    song = session.song
    start, end = (song.bars[song.steps[step].bar].number for step in (first, last))
    if start == PICKUP:
        return "pickup" if first == last else f"pickup to bar {end}"
    return f"bar {start}" if first == last else f"bars {start}-{end}"


def chordless_words(session: Session) -> str:
    """Say why there is no chord to hear: none has come yet, or the sheet says N.C."""
    if session.now.symbol is None:
        return "No chord in the pickup." if session.bar.pickup else "No chord yet."
    return "No chord here; the tune goes on alone."


def passage_words(session: Session) -> str:
    """Say which passage is set, and what to do with it."""
    if session.passage is None:
        return "No passage: l loops the section."
    return f"Passage: {bars_words(session, *session.passage)}. l loops it, f lets you hear it."


def loop_words(session: Session) -> str:
    """Say what is looped, and how to choose other bars."""
    bars = bars_words(session, *(session.looped or session.stretch))
    return f"Loop: {bars}. l stops." + ("" if session.passage else " [ and ] choose other bars.")


def guide_words(guide: "Guide") -> str:
    """Say what the guide plays along with a run."""
    parts = [part.value for part in guide.voices if part in guide.parts]
    return f"The guide plays {' and '.join(parts)} in a run." if parts else "The guide is silent."


def news(old: Bar, new: Bar) -> str:
    """Say what changes from one bar to another: meter, key, tempo, feel."""
    changes = (
        (str(new.meter), old.meter != new.meter),
        (str(new.key), old.key != new.key),
        (f"tempo {round(new.tempo)}", new.tempo != carried_tempo(old, new.meter)),
        (new.feel, old.feel != new.feel),
    )
    return ", ".join(text for text, changed in changes if changed)
