"""From the parts of a score to a chart: every subject is read by itself and joined bar by bar."""

from collections.abc import Sequence, Set
from dataclasses import replace
from pathlib import PurePath
from typing import Final

from chartwalk.chart import Bar, Chart, Note, Sign
from chartwalk.mending.lengths import Span, spans
from chartwalk.mending.mend import mended
from chartwalk.mending.notices import Notice, in_order
from chartwalk.mending.tempos import counted_in_beats
from chartwalk.meter import Meter
from chartwalk.musicxml.changes import changes
from chartwalk.musicxml.document import Document
from chartwalk.musicxml.elements import text_of
from chartwalk.musicxml.fermatas import fermatas
from chartwalk.musicxml.head import Lead, credit, lead_of, title
from chartwalk.musicxml.lengths import measured, usual_meter
from chartwalk.musicxml.lyrics import words
from chartwalk.musicxml.measure import Measure, measures, with_directions, with_harmonies
from chartwalk.musicxml.ours import kept_note, kept_voice
from chartwalk.musicxml.overlong import counted_off
from chartwalk.musicxml.own import own_chart
from chartwalk.musicxml.road import road
from chartwalk.musicxml.sections import sections
from chartwalk.musicxml.setting import Setting, follow
from chartwalk.musicxml.simile import simile
from chartwalk.musicxml.spoken import endings_in_words, spoken
from chartwalk.musicxml.transposing import as_sounding
from chartwalk.musicxml.tune import Voice, events, main_voice, tied
from chartwalk.musicxml.unkept import page_text, unkept
from chartwalk.reading import Reading

_UNPRINTABLE: Final = str.maketrans("", "", " |,")  # what parts bars and marks in text


def build(document: Document, name: str) -> Reading:
    """Return the chart of a score with all warnings; ``name`` is the file's."""
    if (own := own_chart(document.root)) is not None:
        return Reading(own)
    lead, told = lead_of(document)
    laid = _measures(document, lead)
    voice = main_voice(laid)
    settings, setting_notices = follow(laid, voice[0])
    usual, meter_notices = usual_meter(laid, settings)
    counted = counted_off(laid, settings, usual)
    if counted.notices:
        laid = counted.measures
        settings, setting_notices = follow(laid, voice[0])
    elements = counted.spread(lead.tune.measures)
    tags = [{child.tag for child in element.iter()} for element in elements]
    bars, notices = _bars(laid, voice, tags, settings, usual)
    chart = Chart(
        title=title(document.root, PurePath(name).stem),
        sections=sections(bars, laid),
        credit=credit(document.root),
        note=kept_note(document.root),
        voice=kept_voice(document.root),
    )
    chart, moved = as_sounding(chart, laid, voice[0])
    told += (
        *setting_notices, *meter_notices, *counted.notices, *moved, *notices,
        *unkept(elements, tags, laid, voice),
        *page_text(document.root, f"{chart.title}\n{chart.credit}"),
    )  # fmt: skip
    numbers = tuple(bar.number for bar in bars)
    warnings = tuple(notice.problem(name, numbers) for notice in in_order(told))
    return Reading(chart, warnings, keyed=lead.tune.has("key"))


def _measures(document: Document, lead: Lead) -> tuple[Measure, ...]:
    laid = measures(lead.tune.measures)
    top = document.parts[0]
    if lead.tune is not top:
        laid = with_directions(laid, measures(top.measures))
    return (
        with_harmonies(laid, measures(lead.chords.measures))
        if lead.chords is not lead.tune
        else laid
    )


def _bars(
    laid: Sequence[Measure],
    voice: Voice,
    tags: Sequence[Set[str]],
    settings: Sequence[Setting],
    usual: Meter,
) -> tuple[tuple[Bar, ...], tuple[Notice, ...]]:
    lengths, length_notices = spans(measured(laid, settings, usual))
    tunes = tuple(
        events(measure, voice, span.length) for measure, span in zip(laid, lengths, strict=True)
    )
    notes = tied(tunes)
    texts, word_notices = words(tunes, notes)
    placed, change_notices = changes(laid, settings, tunes)
    held, held_notices = fermatas(tags, laid, voice, notes, placed)
    page = road(laid)
    marks, ending_notices = endings_in_words(page.marks, laid)
    said = spoken(laid, marks)
    marks, road_notices = mended(replace(page, marks=marks))
    first = lengths[0].meter
    bars = tuple(
        Bar(
            number=measure.number.translate(_UNPRINTABLE) or str(place),
            meter=span.meter,
            key=setting.key,
            tempo=counted_in_beats(setting.quarters, span.meter, first),
            feel=setting.feel,
            length=span.length,
            pickup=span.pickup,
            changes=chords,
            tune=_tune(tune, span),
            words=text,
            marks=signs,
            fermatas=tuple(at for at in stops if at < span.length) if stops else (),
            double=_double(laid, place - 1) and not any(m.sign is Sign.REPEAT_END for m in signs),
        )
        for place, (measure, setting, span, chords, tune, text, signs, stops) in enumerate(
            zip(laid, settings, lengths, placed, notes, texts, marks, held, strict=True), 1
        )
    )
    bars = simile(bars, laid)
    notices = (
        *length_notices, *change_notices, *word_notices,
        *held_notices, *ending_notices, *road_notices, *said,
    )  # fmt: skip
    return bars, notices


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
