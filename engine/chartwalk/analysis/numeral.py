"""Roman numerals: what music21 is handed for a chord symbol, and how its answer is shown.

The numeral itself (degree, accidental, upper or lower case, the chord after the slash) is
music21's. Three choices are made here:

- Handed over are the root, its third and a perfect fifth, in root position. Sevenths, altered
  fifths and all extensions are left off, because music21 writes them as figured bass (C7 in C major
  is ``Ib753``, B♭dim ``bviio``, Gmaj7 ``V#753``), which is no lead sheet player's language. Their
  marks come from the symbol, in its own language: ``V7``, ``IVmaj7``, ``viiø7``.
- A bass after the slash is left aside: it is the chord's place that is asked for, and in a numeral
  a 6 or 64 would be read as a note of the chord.
- A minor key is counted in the major scale on its tonic: ``i ♭III iv V ♭VI ♭VII``, the way players
  of popular music count (common practice, no source), so that ♭VI is one chord in C major and in
  C minor. In the minor key itself music21 writes ``III`` but ``bVI``, and ``VI`` for the raised.

References
----------
Hutchinson, *Music Theory for the 21st-Century Classroom*: "Roman Numeral Chord Symbols" (case, °
and +), "Secondary Dominants in Major and Minor".
"""

from typing import Final

from chartwalk.analysis.question import NumeralQuestion
from chartwalk.chord import ChordSymbol, Degree
from chartwalk.key import Key
from chartwalk.pitch import Interval, Name, Pitch, in_signs

OCTAVE: Final = 4
MAJOR_THIRD: Final = Degree(3)
FIFTH: Final = Degree(5)
MINOR_SEVENTH: Final = Degree(7, -1)
UP_TO_THE_GOAL: Final = Interval.parse("P4")
RAISED_IN_MINOR: Final = (Interval.parse("M6"), Interval.parse("M7"))

# The mark of a triad by the alterations of its third and its fifths; the others have none.
TRIADS: Final[dict[tuple[int | None, tuple[int, ...]], str]] = {(-1, (-1,)): "°", (0, (1,)): "+"}
SEVENTHS: Final = {-2: "7", -1: "7", 0: "maj7"}


def numeral_question(symbol: ChordSymbol, key: Key) -> NumeralQuestion | None:
    """Return what music21 is asked about a symbol in a key; None for N.C.

    Where the symbol has no third (sus, power chords) a major one is handed over, since music21
    takes a missing third for a minor one: the numeral is in upper case and its mark says the rest.

    >>> question = numeral_question(ChordSymbol.parse("D7"), Key())
    >>> question.triad, question.secondary
    (('D4', 'F#4', 'A4'), True)
    """
    if symbol.root is None:
        return None
    third = next((degree for degree in symbol.degrees if degree.number == 3), MAJOR_THIRD)
    root = Pitch(symbol.root, OCTAVE)
    triad = (root.ascii, (root + third.interval).ascii, (root + FIFTH.interval).ascii)
    secondary = _is_secondary(symbol, symbol.root, key)
    return NumeralQuestion(
        triad, key.tonic.ascii, _mode(symbol.root, key) if secondary else "major", secondary
    )


def shown(figure: str, symbol: ChordSymbol) -> str:
    """Show music21's figure with the marks of the symbol.

    >>> shown("#iv", ChordSymbol.parse("F#dim7")), shown("V/vi", ChordSymbol.parse("E7b9"))
    ('♯iv°7', 'V7/vi')
    """
    numeral, slash, goal = in_signs(figure).partition("/")
    return f"{numeral}{marks(symbol)}{slash}{goal}"


def marks(symbol: ChordSymbol) -> str:
    """Return the marks of triad, seventh and suspension; sixths and extensions have none.

    A 6 is left off because a numeral's 6 means an inversion.

    >>> [marks(ChordSymbol.parse(text)) for text in ("Bm7b5", "C6/9", "G9sus4", "A5", "Cmaj9")]
    ['ø7', '', '7sus4', '5', 'maj7']
    """
    third, *_ = (*_alterations(symbol, 3), None)
    triad = TRIADS.get((third, _alterations(symbol, 5)), "")
    sevenths = _alterations(symbol, 7)
    if triad == "°" and sevenths == (-1,):
        return "ø7"
    seventh = SEVENTHS.get(sevenths[0], "") if sevenths else ""
    return triad + seventh + ("" if third is not None else _without_third(symbol))


def _without_third(symbol: ChordSymbol) -> str:
    instead = "".join(str(number) for number in (2, 4) if _alterations(symbol, number))
    if instead:
        return f"sus{instead}"
    return "" if _alterations(symbol, 7) else "5"


def _alterations(symbol: ChordSymbol, number: int) -> tuple[int, ...]:
    return tuple(degree.alter for degree in symbol.degrees if degree.number == number)


def _is_secondary(symbol: ChordSymbol, root: Name, key: Key) -> bool:
    """Whether a chord asks to be read as the dominant of another chord than the tonic.

    music21 would read every major triad so whose goal lies in the key, the tonic's own first of
    all. Here the third has to be foreign to the key, the leading tone of the goal; so I7 stays I7,
    as in a blues, though it may lead to IV. In minor a foreign seventh will do: C7 in A minor is
    the dominant of F. The goal is a major or minor chord of the key (a diminished one can't be
    tonicized), and a major triad on the tonic of a minor key is no V of iv.
    """
    plain = {degree for degree in symbol.degrees if degree.number < 8}
    seventh = MINOR_SEVENTH in plain
    dominant = MAJOR_THIRD in plain and (seventh or plain == {Degree(1), MAJOR_THIRD, FIFTH})
    leading_tone, goal = root + MAJOR_THIRD.interval, root + UP_TO_THE_GOAL
    scale = _scale(key)
    foreign = leading_tone not in scale or (
        key.mode == "minor" and seventh and root + MINOR_SEVENTH.interval not in scale
    )
    consonant = key.fifths - 1 <= goal.fifths < key.fifths + 5
    at_home = root == key.tonic and not seventh
    return dominant and consonant and not at_home and foreign


def _scale(key: Key) -> set[Name]:
    """Return the notes of a key, in minor with the raised sixth and seventh, which are at home."""
    notes = {Name.from_fifths(key.fifths + place) for place in range(-1, 6)}
    if key.mode == "minor":
        notes |= {key.tonic + interval for interval in RAISED_IN_MINOR}
    return notes


def _mode(root: Name, key: Key) -> str:
    """Return the mode whose chord the goal is: of a minor key, all but the dominant, V in both."""
    dominant = key.tonic + FIFTH.interval
    return "major" if root + UP_TO_THE_GOAL == dominant else key.mode
