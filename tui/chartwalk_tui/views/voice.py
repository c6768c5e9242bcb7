"""From a sheet and a singer to the values of the Voice screen. No rule of music."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk.chart import Chart
from chartwalk.transpose import interval_words
from chartwalk.voice import (
    SOURCE,
    VOICE_TYPES,
    KeyFit,
    SingerRange,
    Tessitura,
    middle_words,
    move_words,
    octave_words,
    outcome,
    sheet_range,
    strain_words,
)
from chartwalk_tui.widgets.text_line import Ends
from chartwalk_tui.widgets.voice_rows import Head, KeyRow, Scale

NO_TUNE: Final = "no tune to judge by"
NO_VOICE: Final = "not known yet"
WHY_NO_TUNE: Final = (
    "This sheet has chords alone, so no key can be judged.",
    "Write its tune into the sheet, and come back.",
)
WHOSE_VOICE: Final = (
    "Whose voice is it?",
    "e   type its low and its high note, as in A3 D5",
    "n   go through the voices of the handbook",
)


@dataclass(frozen=True, slots=True)
class Whose:
    """A voice to judge for: its range, where that comes from, and what is kept for next time."""

    singer: SingerRange
    origin: str
    setting: str = ""


def own_voice(singer: SingerRange) -> Whose:
    """Return the voice whose range was typed."""
    return Whose(singer, "your own range", singer.ascii)


def kept_voice(setting: str | None) -> Whose | None:
    """Return the voice that was kept, None where none was or it can't be read any more."""
    if not setting:
        return None
    if setting in VOICE_TYPES:
        return _trained(setting)
    try:
        return own_voice(SingerRange.parse(setting))
    except ValueError:
        return None


def other_voices(chart: Chart) -> tuple[Whose, ...]:
    """Return the voice that the sheet is for, if it names one, and those of the handbook."""
    sheet = sheet_range(chart)
    named = (Whose(sheet, "from the sheet"),) if sheet else ()
    return (*named, *map(_trained, VOICE_TYPES))


def _trained(name: str) -> Whose:
    return Whose(VOICE_TYPES[name], f"a trained {name} ({SOURCE})", name)


def title_line(chart: Chart) -> Ends:
    """Return the name of the room, the song and the key it is written in."""
    key = chart.bars[0].key
    return Ends(
        ((" Voice", "now"), (f"  {chart.title}", "dim")),
        (("written in ", "dim"), (f"{key} ", "strong")),
        ((f"{key} ", "strong"),),
    )


def tune_line(tune: Tessitura | None) -> Ends:
    """Return the tune's range as written, and where it sits most of the time."""
    if tune is None:
        return Ends(((" tune   ", "dim"), (NO_TUNE, "plain")))
    low, high = tune.band
    ends = f"{tune.lowest.pitch} ({tune.lowest.place}) to {tune.highest.pitch}"
    return Ends(
        (
            (" tune   ", "dim"), (f"{ends} ({tune.highest.place})", "plain"),
            (", mostly ", "dim"), (f"{low}–{high}", "plain"),
        )
    )  # fmt: skip


def voice_line(voice: Whose | None) -> Ends:
    """Return the singer's range and where it comes from."""
    if voice is None:
        return Ends(((" voice  ", "dim"), (NO_VOICE, "plain")))
    return Ends(((" voice  ", "dim"), (f"{voice.singer}", "strong"), (f"  {voice.origin}", "dim")))


def scale_of(fits: Sequence[KeyFit], singer: SingerRange) -> Scale:
    """Return the scale on which every key and the singer's range can be drawn."""
    ends = [reach for fit in fits for reach in _reach(fit)] + [singer.low.midi, singer.high.midi]
    return Scale(min(ends), max(ends), (singer.low.midi, singer.high.midi))


def head_of(scale: Scale, singer: SingerRange) -> Head:
    """Return the line above the rows."""
    return Head(scale, (str(singer.low), str(singer.high)))


def key_row(fit: KeyFit, shift: int) -> KeyRow:
    """Return the row of a key; ``shift`` is what the sheet is moved by now."""
    low, high = fit.tune.band
    return KeyRow(
        key=str(fit.key),
        signature=fit.key.short_signature,
        move=interval_words(fit.interval),
        short_move=move_words(fit.shift),
        sung=f"{fit.tune.lowest.pitch}–{fit.tune.highest.pitch}",
        reach=_reach(fit),
        band=(low.midi, high.midi),
        strain=strain_words(fit.strain),
        short_strain=" ".join(map(str, sorted({note.pitch for note in fit.strain}, reverse=True))),
        here=(fit.shift - shift) % 12 == 0,
    )


def key_detail(fit: KeyFit, best: bool) -> str:
    """Say what strains in a key, where the tune sits, and what comes of taking it if not best."""
    strain = f"Strains: {strain_words(fit.strain)}" if fit.strain else "Nothing strains"
    octave = f"Sung {octave_words(fit.octave)} what is written. " if fit.octave else ""
    sits = f"{octave}{strain}; the tune sits {middle_words(fit.off)}."
    said = outcome(fit)
    return sits if best else f"{sits} {said[0].upper()}{said[1:]}."


def _reach(fit: KeyFit) -> tuple[int, int]:
    return fit.tune.lowest.pitch.midi, fit.tune.highest.pitch.midi
