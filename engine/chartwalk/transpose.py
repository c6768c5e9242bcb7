"""A chart in another key: every name moves by the spelled interval between the two keys.

Rules
-----
- The new key is the one with the fewest sharps or flats. Six of either are a tie: F♯ and G♭ major,
  D♯ and E♭ minor. The side of the written key decides, flats where it has neither (common practice,
  no source).
- A bar moves by the interval of its own key, so that the names stay proper to it: up a major second
  is two steps on the line of fifths, a minor third three steps back (Hutchinson, *Music Theory for
  the 21st-Century Classroom*, intervals and major scales).
- What can't be read at a glance any more is respelled (common practice, no source). A root with a
  double accidental takes its plain name. Outside the key E♯, B♯, C♭ and F♭ do so where fewer notes
  of the chord then make one stop (doubles and those four): Bmaj7, but E♯dim7 in B minor. Another
  sharp or flat root outside the key takes its other name where that has fewer double accidentals
  above it: B♭maj7, not A♯maj7, in A major. The bass goes along. A note of the tune with a double
  accidental takes its plain name, unless it is the raised sixth or seventh of a minor key.
- By no semitones, or by an octave, every name stays as it is written.
- Notes that a tie joins on paper stay joined, also where the key changes between them, and take the
  name of the first; no others become so.

Up and down again gives the chart as written, its symbols in ASCII, if

- no name, written or moved, is one to be respelled;
- the keys find back: from up to five sharps or flats they do, from six where the key between lies
  on the same side (no sharps or flats count as flats), from seven never;
- no tie stands between notes of two keys.

By an octave it does always.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import islice
from typing import Final

from chartwalk.chart import Bar, Change, Chart, Note
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.pitch import Interval, Name, Pitch, in_ascii

FARTHEST: Final = 12
"""How many semitones a chart may move, up or down."""

INTERVALS: Final = (
    "", "a minor second", "a major second", "a minor third", "a major third", "a perfect fourth",
    "", "a perfect fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh",
    "an octave",
)  # fmt: skip
"""What an interval of so many semitones is called; 0 and 6 depend on more."""


def key_at(key: Key, semitones: int) -> Key:
    """Return the key that many semitones up (negative: down), with the fewest sharps or flats.

    By no semitones or an octave it is the key as written. Raises ValueError beyond an octave.

    >>> str(key_at(Key.parse("G major"), -3)), str(key_at(Key.parse("D minor"), 2))
    ('E major', 'E minor')
    >>> str(key_at(Key.parse("A major"), -3)), str(key_at(Key.parse("F major"), 1))
    ('F♯ major', 'G♭ major')
    """
    _check(semitones)
    if semitones % 12 == 0:
        return key
    fifths = (key.fifths + 7 * semitones + 5) % 12 - 5  # -5 to 6
    return Key(-6 if fifths == 6 and key.fifths <= 0 else fifths, key.mode)


def interval_between(key: Key, semitones: int) -> Interval:
    """Return the interval from a key's tonic to the one of `key_at`, of just so many semitones.

    >>> interval_between(Key.parse("F# minor"), 3) == Interval.parse("m3")
    True
    >>> interval_between(Key(0), -5) == Interval.parse("-P4")
    True
    """
    fifths = key_at(key, semitones).fifths - key.fifths
    return Interval((7 * semitones - fifths) // 12, semitones)


def interval_words(interval: Interval) -> str:
    """Say how far a chart moves: up a minor third, down a perfect fourth, as written.

    Between a key of many sharps and one of many flats the letters are one off (B up to D♭ is a
    diminished third); the words then give the interval as it sounds. Raises ValueError beyond an
    octave.

    >>> [interval_words(Interval.parse(name)) for name in ("m3", "-P4", "d3", "P1")]
    ['up a minor third', 'down a perfect fourth', 'up a major second', 'as written']
    """
    _check(interval.semitones)
    size = abs(interval.semitones)
    if not size:
        return "as written"
    tritone = "an augmented fourth" if abs(interval.letters) <= 3 else "a diminished fifth"
    return f"{'up' if interval.semitones > 0 else 'down'} {INTERVALS[size] or tritone}"


def transpose(chart: Chart, semitones: int) -> Chart:
    """Return the chart that many semitones up (negative: down); raise ValueError beyond an octave.

    Keys, chords and tune move; the range of the singer's voice stays, and so does the rest.

    >>> from fractions import Fraction
    >>> from chartwalk.chart import Section
    >>> bar = Bar("1", key=Key(1), changes=(Change(Fraction(0), ChordSymbol.parse("D/F#")),))
    >>> lower = transpose(Chart("T", (Section("", (bar,)),)), -2)
    >>> str(lower.bars[0].key), lower.bars[0].changes[0].symbol.display
    ('F major', 'C/E')
    """
    _check(semitones)
    if semitones == 0:
        return chart
    notes = iter(_moved_notes(chart.bars, semitones))
    sections = tuple(
        replace(section, bars=tuple(_moved_bar(bar, notes, semitones) for bar in section.bars))
        for section in chart.sections
    )
    return replace(chart, sections=sections)


def _check(semitones: int) -> None:
    if abs(semitones) > FARTHEST:
        raise ValueError(f"a chart moves by at most {FARTHEST} semitones, not {semitones}")


def _moved_bar(bar: Bar, notes: Iterator[Note], semitones: int) -> Bar:
    """Move a bar; its notes, moved already, are the next ones."""
    return replace(
        bar,
        key=key_at(bar.key, semitones),
        changes=tuple(
            Change(change.at, _moved_symbol(change.symbol.text, bar.key, semitones))
            for change in bar.changes
        ),
        tune=tuple(islice(notes, len(bar.tune))),
    )


def _moved_notes(bars: tuple[Bar, ...], semitones: int) -> list[Note]:
    """Move the notes of all bars; those that a tie joins on paper stay joined, and only those."""
    notes: list[Note] = []
    before: Note | None = None
    for bar in bars:
        if not bar.tune:
            before = None
        for note in bar.tune:
            pitch = note.pitch and _moved_pitch(note.pitch, bar.key, semitones)
            if before and before.tied and pitch:
                if before.pitch == note.pitch:
                    pitch = notes[-1].pitch
                elif notes[-1].pitch == pitch:  # E♯ and F, say: struck twice, now as before
                    notes[-1] = replace(notes[-1], tied=False)
            notes.append(Note(pitch, note.length, note.tied))
            before = note
    return notes


@lru_cache(maxsize=4096)
def _moved_pitch(pitch: Pitch, key: Key, semitones: int) -> Pitch:
    interval = interval_between(key, semitones)
    moved = pitch + interval
    if interval.fifths and _double(moved.name) and moved.name not in _scale(key, semitones):
        return moved + _respelling(moved.name)
    return moved


@lru_cache(maxsize=4096)
def _moved_symbol(text: str, key: Key, semitones: int) -> ChordSymbol:
    symbol = ChordSymbol.parse(text)
    if symbol.root is None:
        return symbol
    interval = interval_between(key, semitones)
    root, bass = symbol.root + interval, symbol.bass and symbol.bass + interval
    suffix = in_ascii(symbol.suffix)
    scale = _scale(key, semitones)
    if interval.fifths and _stumbling(root, bass, suffix, scale):
        respelling = _respelling(root)
        root, bass = root + respelling, bass and bass + respelling
    upper = ChordSymbol.parse(root.ascii + suffix)
    if bass is None:
        return upper
    if interval.fifths and _double(bass) and bass not in upper.palette.names:
        bass += _respelling(bass)
    return ChordSymbol.parse(f"{upper.text}/{bass.ascii}")


def _stumbling(root: Name, bass: Name | None, suffix: str, scale: frozenset[Name]) -> bool:
    """Whether a chord is better respelled as a whole."""
    if _double(root) or (not root.alter and root.friendly is None):
        return _double(root)
    odd = _has_plain_name if root.friendly else _double
    if root in scale:
        return root.friendly is not None and bass is not None and _double(bass)
    ours, others = (
        sum(map(odd, ChordSymbol.parse(name.ascii + suffix).palette.names))
        for name in (root, root + _respelling(root))
    )
    return others < ours


def _has_plain_name(name: Name) -> bool:
    """Whether a name makes a player stop and think: a double accidental, E♯, B♯, C♭ or F♭."""
    return name.friendly is not None


def _respelling(name: Name) -> Interval:
    """Return the interval of no semitones that leads to the plain name, or else to the other one.

    >>> [str(Name.parse(name) + _respelling(Name.parse(name))) for name in ("B##", "Cb", "A#")]
    ['C♯', 'B', 'B♭']
    """
    plain = name.friendly
    if plain is None:
        return Interval((name.alter > 0) - (name.alter < 0), 0)
    return Interval((name.fifths - plain.fifths) // 12, 0)


def _double(name: Name) -> bool:
    return abs(name.alter) > 1


@lru_cache(maxsize=256)
def _scale(key: Key, semitones: int) -> frozenset[Name]:
    """Return the notes of the key at so many semitones; in minor the raised 6th and 7th too."""
    fifths = key_at(key, semitones).fifths
    raised = (fifths + 6, fifths + 8) if key.mode == "minor" else ()
    return frozenset(map(Name.from_fifths, (*range(fifths - 1, fifths + 6), *raised)))
