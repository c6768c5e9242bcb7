"""What MusicXML can't hold: it is changed as little as possible, and every change is told.

- Octaves run from 0 to 9 (MusicXML 4.0 ``octave``); nobody writes more than three sharps or flats.
- Text is made of the characters of XML 1.0, which has no U+FFFE, U+FFFF and no lone surrogates.
- A tempo is a decimal number; see `ours.decimal_tempo`.
- Words are written on notes: a syllable without one is left out.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar, Chart, Note, Section, Syllable, sung
from chartwalk.musicxml.ours import FARTHEST, OCTAVES, beats_a_minute, decimal_tempo
from chartwalk.pitch import Pitch
from chartwalk.problems import Problem

_NO_XML: Final = re.compile("[\ud800-\udfff\ufffe\uffff]")
INSTEAD: Final = "\ufffd"  # Unicode's replacement character


def bounded(chart: Chart) -> tuple[Chart, tuple[Problem, ...]]:
    """Return the chart that MusicXML holds in place of this one, and what had to change.

    The chart itself comes back where nothing had to.
    """
    bars: list[Bar] = []
    problems: list[Problem] = []
    before: Bar | None = None
    for index, bar in enumerate(chart.bars):
        kept = _bar(bar, before)
        if kept != bar:
            told = _differences(bar, kept)
            problems += (Problem(message, bar=kept.number, index=index) for message in told)
        bars.append(kept)
        before = kept
    found = iter(bars)
    written = Chart(
        title=_text(chart.title),
        sections=tuple(
            Section(_text(section.name), tuple(next(found) for _ in section.bars))
            for section in chart.sections
        ),
        credit=_text(chart.credit),
        note=_text(chart.note),
        voice=chart.voice,
    )
    if _letters(written) != _letters(chart):
        message = f"characters that XML has not are written as {INSTEAD}"
        problems.insert(0, Problem(message))
    return (written, tuple(problems)) if problems else (chart, ())


def _text(text: str) -> str:
    return _NO_XML.sub(INSTEAD, text)


def _letters(chart: Chart) -> list[str]:
    return [chart.title, chart.credit, chart.note, *(section.name for section in chart.sections)]


def _bar(bar: Bar, before: Bar | None) -> Bar:
    quarters = decimal_tempo(bar.tempo * bar.meter.beat)
    tune = tuple(_note(note) for note in bar.tune)
    kept = replace(
        bar,
        number=_text(bar.number),
        tempo=beats_a_minute(quarters, bar.meter.beat),
        tune=tune,
        words=(),
    )
    has_notes = any(note.pitch for note in tune)
    room = len(sung(kept, before)) if has_notes else None
    return replace(kept, words=_verses(bar.words, room))


def _note(note: Note) -> Note:
    pitch = note.pitch
    if pitch and abs(pitch.name.alter) > FARTHEST:
        pitch = Pitch.from_midi(pitch.midi)
    if pitch and pitch.octave not in OCTAVES:
        pitch = Pitch(pitch.name, max(OCTAVES[0], min(OCTAVES[-1], pitch.octave)))
    return note if pitch == note.pitch else replace(note, pitch=pitch)


def _verses(
    verses: Iterable[tuple[Syllable, ...]], room: int | None
) -> tuple[tuple[Syllable, ...], ...]:
    kept = [
        tuple(Syllable(_text(each.text), each.joined) for each in verse[:room]) for verse in verses
    ]
    while kept and not kept[-1]:
        kept.pop()
    return tuple(kept)


def _differences(bar: Bar, kept: Bar) -> Iterator[str]:
    for note, other in zip(bar.tune, kept.tune, strict=True):
        if note != other:
            yield f"MusicXML has no {note.pitch}: written as {other.pitch}"
    if bar.tempo != kept.tempo:
        yield f"a tempo of {float(bar.tempo)} beats a minute is rounded to {_exact(kept.tempo)}"
    if [len(verse) for verse in bar.words if verse] != [
        len(verse) for verse in kept.words if verse
    ]:
        yield "a syllable that no note is left for is not written"
    words = (each.text for bar_ in (bar, kept) for verse in bar_.words for each in verse)
    if bar.number != kept.number or any(_NO_XML.search(text) for text in words):
        yield f"characters that XML has not are written as {INSTEAD}"


def _exact(tempo: Fraction) -> str:
    return str(tempo) if tempo.denominator == 1 else str(float(tempo))
