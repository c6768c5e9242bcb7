"""From a tune as it was read to a chart."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from typing import Final

from chartwalk.abc.overlong import counted_off
from chartwalk.abc.parts import Played, play, read_order
from chartwalk.abc.raw import RawBar, RawNote
from chartwalk.abc.road import road_of
from chartwalk.abc.told import Told
from chartwalk.abc.tune import TuneReader
from chartwalk.abc.voice import Voice
from chartwalk.chart import (
    Bar,
    Change,
    Chart,
    Note,
    RoadMark,
    Section,
    Sign,
    Syllable,
    next_number,
)
from chartwalk.mending.lengths import Measured, Span, meter_of, spans
from chartwalk.mending.tempos import counted_in_beats
from chartwalk.meter import Meter
from chartwalk.reading import Reading

HOLD: Final = Syllable("")


def lead_voice(reader: TuneReader) -> Voice | None:
    """Return the voice to read: the first with words, else with chords, else the first."""
    voices = [voice for voice in reader.voices.values() if voice.bars]
    if not voices:
        return None
    sung = (voice for voice in voices if any(n.words for bar in voice.bars for n in bar.notes))
    chorded = (voice for voice in voices if any(bar.chords for bar in voice.bars))
    chosen = next(sung, None) or next(chorded, None) or voices[0]
    if len(voices) > 1:
        name = chosen.name or "before the first V:"
        reader.told.tell(f"of {len(voices)} voices only {name} is read", chosen.bars[0].line, 1)
    return chosen


def build(reader: TuneReader, voice: Voice, title: str) -> Reading:
    """Return the chart of a voice with all that is to be told."""
    told = reader.told
    voice.bars, divided = counted_off(voice.bars)
    for bar in divided:
        message = f"a bar far too long: bars of {bar.meter or Meter()} are counted off"
        told.tell(message, bar.line, bar.column)
    played = _played(reader, voice)
    raw = [bar for block in played.blocks for bar in block]
    marks, notices = road_of(played.blocks)
    lengths, more = spans(_measured(raw))
    for notice in (*notices, *more):
        bar = raw[
            min(notice.bar or 0, len(raw) - 1)
        ]  # what stands after the last bar is told there
        told.tell(notice.message, bar.line, bar.column)
    for message, line, column in voice.remarks:
        told.tell(message, line, column)
    if voice.chords:
        names = " ".join(str(chord) for chord in voice.chords)
        told.tell(f"{names} after the last note is left out", voice.bars[-1].line, 1)
    bars = _bars(raw, lengths, marks, told)
    chart = Chart(title, _sections(bars, raw), _credit(reader), _note(reader, title))
    places = tuple((bar.line, bar.column) for bar in raw)
    return Reading(chart, told.problems(), places, keyed=reader.keyed)


def _played(reader: TuneReader, voice: Voice) -> Played:
    whole = Played((tuple(voice.bars),))
    if reader.order is None:
        return whole
    text, line = reader.order
    try:
        order = read_order(text)
    except ValueError as error:
        reader.tell(f"P: {error}; left out", line)
        return whole
    if not any(bar.part for bar in voice.bars):
        if len(set(order)) > 1 or len(order) > 1:
            reader.tell("P: no part is marked in the tune: the order is left out", line)
        return whole
    played = play(voice.bars, order)
    for notice in played.notices:
        reader.tell(f"P: {notice}", line)
    return played


def _measured(raw: Sequence[RawBar]) -> list[Measured]:
    """Return what decides the bars' lengths; in free meter every bar is as long as its notes."""
    measured = []
    for bar in raw:
        length = bar.length
        meter = bar.meter or meter_of(length, 4) or Meter()
        leads_in = bar.split and 0 < length <= meter.quarters / 2
        measured.append(Measured(length, meter, split=bar.split, leads_in=leads_in))
    return measured


def _bars(
    raw: Sequence[RawBar],
    lengths: Sequence[Span],
    marks: Sequence[tuple[RoadMark, ...]],
    told: Told,
) -> tuple[Bar, ...]:
    notes = _tied([note for bar in raw for note in bar.notes], raw)
    first = lengths[0].meter
    bars: list[Bar] = []
    entering = False
    for bar, span, signs in zip(raw, lengths, marks, strict=True):
        here = [next(notes) for _ in bar.notes]
        words, entering = _words(bar, here, entering)
        tune = _fitted(here, span.length)
        sounding = any(note.pitch is not None for note in tune)
        changes = _changes(bar, span.length)
        if len(changes) < len(bar.chords) and span.length < bar.length:
            told.tell("chords beyond the end of a bar are left out", bar.line, bar.column)
        bars.append(
            Bar(
                number=next_number(bars[-1].number if bars else None, span.pickup),
                meter=span.meter,
                key=bar.key,
                tempo=counted_in_beats(bar.tempo, span.meter, first),
                feel=bar.feel,
                length=span.length,
                pickup=span.pickup,
                changes=changes,
                tune=tune if sounding or span.pickup else (),
                words=_within(words, tune) if sounding else (),
                marks=signs,
                fermatas=tuple(at for at in bar.fermatas if at < span.length),
                double=bar.double and not any(mark.sign is Sign.REPEAT_END for mark in signs),
            )
        )
    return tuple(bars)


def _tied(notes: Sequence[RawNote], raw: Sequence[RawBar]) -> Iterator[Note]:
    """Yield the notes with the ties that hold.

    A tie holds to a note of the same pitch that sings no syllable of its own; one at the end of a
    repeat holds to whatever is played next.
    """
    ends = {id(bar.notes[-1]) for bar in raw if bar.closes > 1 and bar.notes}
    for place, note in enumerate(notes):
        after = notes[place + 1] if place + 1 < len(notes) else None
        same = after is not None and after.pitch == note.pitch
        sings = after is not None and any(word and word.text for word in after.words)
        holds = note.tied and ((same and not sings) or id(note) in ends)
        yield Note(note.pitch, note.length, holds)


def _fitted(notes: Sequence[Note], length: Fraction) -> tuple[Note, ...]:
    """Cut what stands beyond the end of a bar, and fill up with a rest."""
    fitted: list[Note] = []
    left = length
    for note in notes:
        if left <= 0:
            break
        cut = note.length > left
        fitted.append(replace(note, length=min(note.length, left), tied=note.tied and not cut))
        left -= fitted[-1].length
    if left > 0:
        fitted.append(Note(None, left))
    return tuple(fitted)


def _changes(bar: RawBar, length: Fraction) -> tuple[Change, ...]:
    """Give every chord its place; several on one note share its length."""
    starts = [Fraction(0)]
    for note in bar.notes:
        starts.append(starts[-1] + note.length)
    changes: list[Change] = []
    for place, group in groupby(bar.chords, lambda item: item[0]):
        chords = [chord for chord, _ in groupby(chord for _, chord in group)]
        step = bar.notes[place].length / len(chords)
        changes += [
            Change(starts[place] + step * count, chord) for count, chord in enumerate(chords)
        ]
    return tuple(change for change in changes if change.at < length)


def _words(bar: RawBar, notes: Sequence[Note], entering: bool) -> tuple[list[list[Syllable]], bool]:
    """Return the syllables of a bar by verse, one for each note that no tie leads into."""
    sung = []
    for raw, note in zip(bar.notes, notes, strict=True):
        if note.pitch is not None and not entering:
            sung.append(raw)
        entering = note.tied
    verses = max((len(note.words) for note in sung), default=0)
    lines = [
        [(raw.words[verse] if verse < len(raw.words) else None) or HOLD for raw in sung]
        for verse in range(verses)
    ]
    return lines, entering


def _within(
    lines: Sequence[list[Syllable]], tune: Sequence[Note]
) -> tuple[tuple[Syllable, ...], ...]:
    """Return the words without what only holds at the end, and without what the bar cut off."""
    most = sum(note.pitch is not None for note in tune)
    kept = [line[:most] for line in lines]
    for line in kept:
        while line and line[-1] == HOLD:
            line.pop()
    while kept and not kept[-1]:
        kept.pop()
    return tuple(tuple(line) for line in kept)


def _sections(bars: Sequence[Bar], raw: Sequence[RawBar]) -> tuple[Section, ...]:
    starts = [place for place, bar in enumerate(raw) if bar.part is not None or not place]
    ends = [*starts[1:], len(bars)]
    return tuple(
        Section((raw[start].part or "").strip(), tuple(bars[start:end]))
        for start, end in zip(starts, ends, strict=True)
    )


def _credit(reader: TuneReader) -> str:
    """Return the composers with the origin in brackets (6.1.3)."""
    composers = ", ".join(dict.fromkeys(filter(None, reader.texts["composer"])))
    origin = "; ".join(dict.fromkeys(filter(None, reader.texts["origin"])))
    return f"{composers} ({origin})" if composers and origin else composers or origin


def _note(reader: TuneReader, title: str) -> str:
    """Return the other titles, the notes, and the words after the tune."""
    others = [f"also: {name}" for name in reader.texts["title"][1:] if name and name != title]
    return "\n".join([*others, *filter(None, reader.texts["note"]), *reader.texts["words"]])
