"""The process in which music21 works: a list of questions a line comes in, their answers go out.

Lines are JSON. The first line out is a string: empty once music21 is ready, else why it is not.
A question that can't be answered has the answer null; a line that is no list of questions, an empty
list. The process ends when its input ends, so it never outlives whoever asks.
"""

import json
import os
import sys
from collections.abc import Callable
from typing import Any, Final

from chartwalk.analysis.question import KeyQuestion, NumeralQuestion

NICENESS: Final = 10  # the click and the screen come first


def numeral(triad: list[str], tonic: str, mode: str, secondary: bool) -> str:
    """Return music21's figure for a triad in a key: ``bVII``, ``V/V``."""
    from music21 import chord, key, roman  # noqa: PLC0415 - takes a second

    pitches = [pitch.replace("b", "-") for pitch in triad]
    place = key.Key(tonic.replace("b", "-"), mode)
    figure: str = roman.romanNumeralFromChord(chord.Chord(pitches), place, secondary).figure
    return figure


def correlations(lengths: list[tuple[str, float]]) -> list[tuple[str, str, float]]:
    """Return how well each key fits notes of these lengths: tonic, mode, correlation."""
    from music21 import note, stream  # noqa: PLC0415 - takes a second

    notes = [note.Note(name.replace("b", "-"), quarterLength=length) for name, length in lengths]
    best = stream.Stream(notes).analyze("key.krumhansl")
    return [
        (found.tonic.name.replace("-", "b"), found.mode, found.correlationCoefficient)
        for found in (best, *best.alternateInterpretations)
    ]


WORK: Final[dict[str, Callable[..., Any]]] = {
    NumeralQuestion.__name__: numeral,
    KeyQuestion.__name__: correlations,
}


def answer(question: Any) -> Any:  # noqa: ANN401 - whatever the line held
    """Answer a question, ``[its kind, what it holds]``; None where there is no answer."""
    try:
        kind, held = question
        return WORK[kind](**held)
    except Exception:  # music21 raises what it likes over odd notes, and nonsense may be anything
        return None


def reply(line: bytes) -> list[Any]:
    """Answer a line of questions.

    >>> reply(b"what key is this?")
    []
    """
    try:
        questions = json.loads(line)
    except (ValueError, RecursionError):
        return []
    return [answer(question) for question in questions] if isinstance(questions, list) else []


def _ready() -> str:
    """Import what the work needs; return why that fails, in words, or nothing."""
    try:
        numeral(["C4", "E4", "G4"], "C", "major", False)
        correlations([("C", 1.0)])
    except ImportError:
        return "music21 is not installed"
    except Exception:  # its own settings may be broken, or a library it stands on
        return "music21 does not work here"
    return ""


def main() -> None:
    """Serve standard input and output."""
    out, sys.stdout = sys.stdout, sys.stderr  # nothing that music21 prints gets between the answers
    if hasattr(os, "nice"):
        os.nice(NICENESS)
    problem = _ready()
    print(json.dumps(problem), file=out, flush=True)
    if not problem:
        for line in sys.stdin.buffer:
            print(json.dumps(reply(line)), file=out, flush=True)


if __name__ == "__main__":
    main()
