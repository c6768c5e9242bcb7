"""The bar under way and the next one, on their lines of time."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from chartwalk.chart import Bar
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.practice import Session
from chartwalk.roadmap import Step
from chartwalk.song import Song
from chartwalk.tune import TuneNote, tune_of
from chartwalk_tui.widgets.bar_grid import BarView, Placed

Numerals = Callable[[ChordSymbol, Key], str]
"""What stands under a chord in a key: its Roman numeral, empty while it is not known."""


def bar_view(
    session: Session, place: Fraction | None = None, numerals: Numerals | None = None
) -> BarView:
    """Return the bar under way and the next one; the click is ``place`` quarters into the bar.

    ``numerals`` are asked for each chord, if the player wants to see them.
    """
    song, here = session.song, session.here
    view = _bar_of(session, here, numerals, session.change)
    if here.index + 1 < len(song.steps):
        view = replace(view, ahead=_bar_of(session, song.steps[here.index + 1], numerals))
    if place is None:
        return view
    beat = sum(item.at * session.bar.length <= place for item in view.beats) - 1
    return replace(view, beat=beat if beat >= 0 else None)


def count_in_view(
    session: Session, place: Fraction, length: Fraction, numerals: Numerals | None = None
) -> BarView:
    """Return the beats of the count-in, ``length`` quarters long, and the bar to come beside."""
    meter = session.bar.meter
    places = meter.beat_places(length)
    return BarView(
        beats=tuple(
            Placed(at / length, str(number), "dim") for number, at in enumerate(places, start=1)
        ),
        pulses=tuple(at / length for at in meter.pulse_places(length)),
        beat=sum(at <= place for at in places) - 1,
        numerals=None if numerals is None else (),
        ahead=_bar_of(session, session.here, numerals),
    )


def _bar_of(
    session: Session, step: Step, numerals: Numerals | None, change: int | None = None
) -> BarView:
    """Return one step as rows; ``change`` is the index of the chord under way."""
    song = session.song
    bar = song.bars[step.bar]
    tune = tune_of(song, step, session.round)
    return BarView(
        beats=_beats(bar),
        chords=_chords(song, step, change),
        numerals=None
        if numerals is None
        else tuple(
            Placed(sounding.at / bar.length, numerals(sounding.symbol, bar.key), "plain")
            for sounding in song.soundings[step.bar]
            if sounding.symbol
        ),
        notes=tuple(_note(note, bar) for note in tune if note.pitch or not note.syllable),
        words=tuple(
            Placed(note.at / bar.length, note.syllable.text + "-" * note.syllable.joined, "strong")
            for note in tune
            if note.syllable and note.syllable.text
        ),
        pulses=_pulses(bar),
    )


def _chords(song: Song, step: Step, change: int | None) -> tuple[Placed, ...]:
    """Return the chords of a bar; held ones in round brackets, those left out in square ones."""
    bar = song.bars[step.bar]
    chords = [
        Placed(
            sounding.at / bar.length,
            f"({sounding.symbol})" if sounding.held else str(sounding.symbol),
            "here" if index == change else "next",
        )
        for index, sounding in enumerate(song.soundings[step.bar])
        if sounding.symbol
    ]
    spared = song.spared[step.bar] if song.spared else ()
    chords += [Placed(spare.at / bar.length, f"[{spare.symbol}]", "dim") for spare in spared]
    return tuple(sorted(chords, key=lambda placed: placed.at))


def _beats(bar: Bar) -> tuple[Placed, ...]:
    """Return the felt beats; in a pickup too short for one, the notes they are made of."""
    places = bar.meter.beat_places(bar.length, bar.lead_in)
    if places:
        held = {
            max((at for at in places if at <= hold), default=places[0]) for hold in bar.fermatas
        }
        return tuple(
            Placed(
                at / bar.length, f"{bar.beat_at(at) // 1}{' hold' * (at in held)}", "dim",
                short=f"{bar.beat_at(at) // 1}",
            )
            for at in places
        )  # fmt: skip
    unit = Fraction(4, bar.meter.unit)
    return tuple(
        Placed(at / bar.length, str(int((at + bar.lead_in) / unit) + 1), "dim")
        for at in bar.meter.pulse_places(bar.length, bar.lead_in)
    )


def _pulses(bar: Bar) -> tuple[Fraction, ...]:
    places = bar.meter.pulse_places(bar.length, bar.lead_in)
    return tuple(place / bar.length for place in places)


def _note(note: TuneNote, bar: Bar) -> Placed:
    if note.pitch is None:
        return Placed(note.at / bar.length, "rest", "dim", short="·")
    name = f"({note.pitch})" if note.held else str(note.pitch)
    until = (note.at + note.length) / bar.length if note.length >= bar.meter.beat else None
    return Placed(note.at / bar.length, name, "plain", str(note.pitch.name), until)
