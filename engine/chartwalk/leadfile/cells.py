"""What the cells of chords, tune and words hold, one function a row, and the way back to text."""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar, Change, Note, Syllable
from chartwalk.chord import ChordError, ChordSymbol
from chartwalk.leadfile.layout import Token
from chartwalk.leadfile.number import format_number, parse_number, quarters
from chartwalk.meter import Meter
from chartwalk.pitch import Pitch

Report = Callable[[Token, str], None]

LOWEST, HIGHEST = -1, 9  # the octaves of the MIDI keys
_NOTE: Final = re.compile(r"([^:~]+):([^~]+)(~?)")


def token_counts(length: Fraction, meter: Meter) -> list[int]:
    """Return how many chord tokens may share a bar evenly, fewest first.

    >>> token_counts(Fraction(4), Meter(4, 4)), token_counts(Fraction(3), Meter(6, 8))
    ([1, 2, 4], [1, 2, 3, 6])
    """
    units = {meter.beat, *([Fraction(4, meter.unit)] if meter.compound else [])}
    if meter.unit == 2:
        units.add(Fraction(1))  # cut time is often written with four strokes a bar
    counts = {1}
    for unit in units:
        if (length / unit).denominator == 1:
            whole = int(length / unit)
            counts |= {n for n in range(1, whole + 1) if whole % n == 0}
    return sorted(counts)


def read_chords(
    cell: Token, bar: Bar, before: tuple[Change, ...] | None, report: Report
) -> tuple[Change, ...]:
    """Read the chords of a bar; ``bar`` gives meter and length, ``before`` the last bar's."""
    tokens = cell.split()
    if not tokens:
        return ()
    if tokens[0].text == "%" and len(tokens) == 1:
        if before is None:
            report(tokens[0], "% repeats the bar before, and there is none")
        return tuple(change for change in before or () if change.at < bar.length)
    if any("@" in token.text for token in tokens):
        return _placed(tokens, bar, report)
    counts = token_counts(bar.length, bar.meter)
    if len(tokens) not in counts:
        fits = ", ".join(map(str, counts))
        report(
            tokens[0],
            f"{len(tokens)} chords do not share a bar of {named(bar)} evenly: "
            f"write {fits} (/ holds a chord for one more) or give beats: G@1 C@3.5",
        )
        return ()
    share = bar.length / len(tokens)
    changes = []
    for place, token in enumerate(tokens):
        if token.text != "/" and (symbol := read_symbol(token, report)):
            changes.append(Change(share * place, symbol))
    return tuple(changes)


def _placed(tokens: Sequence[Token], bar: Bar, report: Report) -> tuple[Change, ...]:
    changes: list[Change] = []
    for token in tokens:
        beat = token.text.partition("@")[2]
        symbol = read_symbol(token, report)
        try:
            at = bar.offset_of(parse_number(beat))
        except ValueError:
            report(token, f"{token.text!r} needs its beat, as in G@1 C@3.5, like every chord here")
            continue
        if not 0 <= at < bar.length:
            report(token, f"beat {beat} lies outside this bar of {named(bar)}")
        elif changes and at <= changes[-1].at:
            report(token, f"beat {beat} does not come after the chord before")
        elif symbol:
            changes.append(Change(at, symbol))
    return tuple(changes)


def read_symbol(token: Token, report: Report) -> ChordSymbol | None:
    """Read one chord symbol, its beat (@) left out; None where it can't be read."""
    text = token.text.partition("@")[0]
    if text == "%":
        report(token, "'%' repeats all of the bar before: it stands alone in its bar")
        return None
    try:
        return ChordSymbol.parse(text)
    except ChordError as error:
        report(Token(text, token.line, token.column + error.column - 1), str(error))
        return None


def write_chords(bar: Bar) -> str:
    """Write the chords of a bar with the fewest tokens that give the same changes."""
    if not bar.changes:
        return ""
    at = {change.at: change.symbol.text for change in bar.changes}
    for count in token_counts(bar.length, bar.meter):
        grid = [bar.length / count * place for place in range(count)]
        if set(at) <= set(grid):
            return " ".join(at.get(place, "/") for place in grid)
    return " ".join(f"{text}@{format_number(bar.beat_at(place))}" for place, text in at.items())


def read_tune(cell: Token, report: Report) -> tuple[Note, ...] | None:
    """Read the notes of a bar; None where one of them can't be read."""
    notes = [_read_note(token, report) for token in cell.split()]
    return None if None in notes else tuple(note for note in notes if note)


def _read_note(token: Token, report: Report) -> Note | None:
    match = _NOTE.fullmatch(token.text)
    pitch, length = (match[1], match[2]) if match else (token.text, "1")
    try:
        key = None if match and pitch == "r" else Pitch.parse(pitch if match else "")
    except ValueError:
        fits = "write pitch, octave and length, such as B4:1.5, or r:1 for a rest"
        report(token, f"{pitch!r} is no note: {fits}")
        return None
    try:
        quarters_long = parse_number(length)
    except ValueError:
        fits = "write quarters, such as 2, 1.5 or 1/3"
        report(token, f"{length!r} is no length: {fits}")
        return None
    if key and not LOWEST <= key.octave <= HIGHEST:
        report(token, f"{pitch!r} lies beyond every keyboard: C4 is middle C")
        return None
    if not quarters_long:
        report(token, f"{token.text!r} has no length: write quarters, such as 2, 1.5 or 1/3")
        return None
    return Note(key, quarters_long, bool(match and match[3]))


def write_tune(bar: Bar) -> str:
    """Write the notes of a bar."""
    return " ".join(
        f"{note.pitch.ascii if note.pitch else 'r'}:{format_number(note.length)}"
        f"{'~' if note.tied else ''}"
        for note in bar.tune
    )


def read_words(cell: Token, report: Report) -> tuple[Syllable, ...]:
    """Read a syllable a note: a hyphen at the end joins to the next, ``_`` holds over."""
    syllables: list[Syllable] = []
    for token in cell.split():
        text = token.text.rstrip("-")
        if not text and syllables and syllables[-1].text:
            syllables[-1] = Syllable(syllables[-1].text, joined=True)  # lan - terns
        elif token.text == "_":
            syllables.append(Syllable(""))
        elif text in {"", "_"}:
            report(token, f"{token.text!r} joins nothing: write lan- terns, and _ to hold over")
        else:
            syllables.append(Syllable(text, joined=text != token.text))
    return tuple(syllables)


def write_words(verse: Sequence[Syllable]) -> str:
    """Write a verse's syllables of one bar."""
    return " ".join(
        (syllable.text + "-" * syllable.joined) if syllable.text else "_" for syllable in verse
    )


def named(bar: Bar) -> str:
    """Name a bar by its meter; a pickup by its length."""
    return quarters(bar.length) if bar.pickup else str(bar.meter)
