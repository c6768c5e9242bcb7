"""From the parts of a score to a chart: every subject is read by itself and joined bar by bar."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import PurePath
from typing import Final

from chartwalk.chart import FASTEST, SLOWEST, Bar, Chart, Note, Sign
from chartwalk.musicxml.changes import changes
from chartwalk.musicxml.document import Document, Part
from chartwalk.musicxml.elements import text_of
from chartwalk.musicxml.head import credit, lead_part, title
from chartwalk.musicxml.lengths import Span, spans, usual_meter
from chartwalk.musicxml.lyrics import verses, words
from chartwalk.musicxml.measure import Measure, measures, with_directions
from chartwalk.musicxml.mend import mended
from chartwalk.musicxml.notices import Notice
from chartwalk.musicxml.road import road
from chartwalk.musicxml.sections import sections
from chartwalk.musicxml.setting import follow
from chartwalk.musicxml.simile import simile
from chartwalk.musicxml.tune import events, main_voice, tied
from chartwalk.reading import Reading

_UNPRINTABLE: Final = str.maketrans("", "", " |,")  # what parts bars and marks in text


def build(document: Document, name: str) -> Reading:
    """Return the chart of a score with all warnings; ``name`` is the file's."""
    part, told = lead_part(document)
    laid = _measures(document, part)
    bars, notices = _bars(laid)
    chart = Chart(
        title=title(document.root, PurePath(name).stem),
        sections=sections(bars, laid),
        credit=credit(document.root),
    )
    numbers = tuple(bar.number for bar in bars)
    told += _transposed(laid) + notices
    told = tuple(sorted(dict.fromkeys(told), key=lambda notice: notice.bar or 0))
    return Reading(chart, tuple(notice.problem(name, numbers) for notice in told))


def _measures(document: Document, part: Part) -> tuple[Measure, ...]:
    laid = measures(part.measures)
    top = document.parts[0]
    return laid if part is top else with_directions(laid, measures(top.measures))


def _bars(laid: Sequence[Measure]) -> tuple[tuple[Bar, ...], tuple[Notice, ...]]:
    settings, setting_notices = follow(laid)
    usual, meter_notices = usual_meter(laid, settings)
    lengths, length_notices = spans(laid, settings, usual)
    voice = main_voice(laid)
    tunes = tuple(
        events(measure, voice, span.length) for measure, span in zip(laid, lengths, strict=True)
    )
    notes = tied(tunes)
    texts = words(tunes, notes, verses(tunes))
    placed, change_notices = changes(laid, settings, tunes)
    marks, road_notices = mended(road(laid))
    first = lengths[0].meter
    bars = tuple(
        Bar(
            number=measure.number.translate(_UNPRINTABLE) or str(place),
            meter=span.meter,
            key=setting.key,
            tempo=_within(setting.tempo(span.meter, first)),
            feel=setting.feel,
            length=span.length,
            pickup=span.pickup,
            changes=chords,
            tune=_tune(tune, span),
            words=text,
            marks=signs,
            double=_double(laid, place - 1) and not any(m.sign is Sign.REPEAT_END for m in signs),
        )
        for place, (measure, setting, span, chords, tune, text, signs) in enumerate(
            zip(laid, settings, lengths, placed, notes, texts, marks, strict=True), 1
        )
    )
    bars = simile(bars, laid)
    notices = (*setting_notices, *meter_notices, *length_notices, *change_notices, *road_notices)
    return bars, notices


def _within(tempo: Fraction) -> Fraction:
    return max(Fraction(SLOWEST), min(Fraction(FASTEST), tempo))


def _tune(notes: tuple[Note, ...], span: Span) -> tuple[Note, ...]:
    """Return the notes of a bar; a bar's rest has none, but a pickup is as long as its notes."""
    if any(note.pitch is not None for note in notes):
        return notes
    return (Note(None, span.length),) if span.pickup else ()


def _double(laid: Sequence[Measure], bar: int) -> bool:
    """Whether a double bar line ends a bar, written as its right or the next one's left."""
    after = laid[bar + 1].barlines if bar + 1 < len(laid) else ()
    lines = [line.element for line in laid[bar].barlines if not line.left]
    lines += [line.element for line in after if line.left]
    return any(text_of(line, "bar-style") == "light-light" for line in lines)


def _transposed(laid: Sequence[Measure]) -> tuple[Notice, ...]:
    """Tell that the part is written for an instrument in another key; it is read as written."""
    for measure in laid:
        for item in measure.attributes:
            semitones = text_of(item.element, "transpose/chromatic")
            if semitones not in ("", "0") and not semitones.lstrip("-").startswith("12"):
                message = f"the part sounds {semitones} semitones from where it is written"
                return (Notice(f"{message}: read as written"),)
    return ()
