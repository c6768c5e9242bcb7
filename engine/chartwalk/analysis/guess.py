"""The key that a chart's tune and chords speak for, against the key it is written in.

music21 compares how long each of the twelve notes sounds with the profile of every key. Of its
profiles Krumhansl and Kessler's is used: over charts with chords it found key and mode best, and it
tells a key from its neighbours, a fifth away, most clearly.

References
----------
Krumhansl, *Cognitive Foundations of Musical Pitch*, 1990: the profiles, and the correlation with
them as an estimate of the key; music21 ``analysis.discrete.KrumhanslSchmuckler``.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from chartwalk.analysis.question import KeyQuestion
from chartwalk.chart import Bar, Chart
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.pitch import Name

CLEARLY: Final = 0.12
"""How much better a key of another signature has to correlate than the written one."""

Fit = tuple[Key, float]


@dataclass(frozen=True, slots=True)
class KeyGuess:
    """The key that fits best; a guess, and to be called one.

    ``certain`` is the correlation of the notes with it, at most 1. ``contradicts`` says that its
    signature is another than the written one and that it fits clearly better than the written
    signature's major and minor keys. A relative key and a sound-alike contradict nothing.
    """

    key: Key
    certain: float
    contradicts: bool


def main_key(chart: Chart) -> Key:
    """Return the key in which most of a chart is written, by the length of its bars."""
    lengths: defaultdict[Key, Fraction] = defaultdict(Fraction)
    for bar in chart.bars:
        lengths[bar.key] += bar.length
    return max(lengths, key=lambda key: lengths[key])


def key_question(chart: Chart) -> KeyQuestion:
    """Count how long each note sounds in the bars of a chart's main key: tune and chords alike.

    Of the chords, root, third, fifth and seventh count; each bar counts once, as on paper. The
    profile asks for nothing but these lengths. A chart without notes gives an empty question.
    """
    key = main_key(chart)
    lengths: defaultdict[Name, Fraction] = defaultdict(Fraction)
    for bar, chords in zip(chart.bars, _chords(chart.bars), strict=True):
        if bar.key == key:
            for name, length in (*_tune(bar), *chords):
                lengths[name] += length
    return KeyQuestion(tuple((name.ascii, float(length)) for name, length in lengths.items()))


def guess(written: Key, fits: Iterable[Fit]) -> KeyGuess:
    """Judge how well every key fits, given the written one.

    >>> guess(Key(0), [(Key(1), 0.9), (Key(0), 0.6), (Key(0, "minor"), 0.7)]).contradicts
    True
    """
    fits = list(fits)
    best, certain = max(fits, key=lambda fit: fit[1])
    as_written = max(fit for key, fit in fits if _sounds_as(key, written))
    other = not _sounds_as(best, written)
    return KeyGuess(_spelled_near(best, written), certain, other and certain - as_written > CLEARLY)


def _sounds_as(key: Key, other: Key) -> bool:
    """Whether two keys have one signature, or signatures of the same keys of the keyboard."""
    return (key.fifths - other.fifths) % 12 == 0


def _spelled_near(key: Key, written: Key) -> Key:
    """Return the sound-alike whose signature is nearest to the written one."""
    sound_alikes = [
        fifths for fifths in (key.fifths, key.fifths - 12, key.fifths + 12) if -7 <= fifths <= 7
    ]
    return Key(min(sound_alikes, key=lambda fifths: abs(fifths - written.fifths)), key.mode)


def _tune(bar: Bar) -> Iterator[tuple[Name, Fraction]]:
    for note in bar.tune:
        if note.pitch is not None:
            yield note.pitch.name, note.length


def _chords(bars: Iterable[Bar]) -> Iterator[list[tuple[Name, Fraction]]]:
    """Yield the notes of the chords that sound in each bar, with their lengths."""
    held: ChordSymbol | None = None
    for bar in bars:
        places = [Fraction(0), *(change.at for change in bar.changes), bar.length]
        symbols = [held, *(change.symbol for change in bar.changes)]
        held = symbols[-1]
        yield [
            (tone.name, end - start)
            for symbol, start, end in zip(symbols, places, places[1:], strict=False)
            if symbol is not None
            for tone in symbol.palette.tones
            if not tone.extension
        ]
