"""A song as a standard MIDI file: the unrolled song with click, chords, bass, tune and words.

Format 1, 960 ticks a quarter note. The first track holds the title, tempo, meter, key, and a marker
for every section and every jump; then one track each for click, chords, bass and tune, which has
the words too. A pickup is a bar of its own length. Fermatas are not held. Texts are UTF-8, which
the standard leaves open.

Reference: Standard MIDI File text 1.1 (chunks, variable-length numbers, meta events 03, 05, 06, 2F,
51, 58, 59).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from chartwalk.chart import Bar
from chartwalk.click import ClickStyle
from chartwalk.clock.schedule import TICKS_PER_QUARTER
from chartwalk.guide import VOICES, Guide, Part
from chartwalk.mending.lengths import meter_of
from chartwalk.roadmap import Step, ordinal
from chartwalk.run import Manner, Turn, make_score
from chartwalk.song import Song
from chartwalk.tune import tune_of

NAME, LYRIC, MARKER, END, TEMPO, METER, KEY = 0x03, 0x05, 0x06, 0x2F, 0x51, 0x58, 0x59
CLOCKS_PER_QUARTER: Final = 24
MOST_CLOCKS: Final = 2**8 - 1  # between two strokes of the click: what a byte holds
MICROSECONDS: Final = 60_000_000  # a minute
SLOWEST: Final = 2**24 - 1  # microseconds a quarter: what three bytes hold
PLAYED: Final = Guide(
    frozenset(Part), {part: replace(voice, program=1) for part, voice in VOICES.items()}
)


@dataclass(frozen=True, slots=True)
class _Placed:
    """Bytes at a tick of the whole song."""

    tick: int
    data: bytes


@dataclass(frozen=True, slots=True)
class _Bar:
    """One bar as it is played: its round of the song, its step, and where it begins."""

    round: int
    step: Step
    bar: Bar
    tick: int


def midi_file(song: Song, scale: Fraction = Fraction(1), click: ClickStyle | None = None) -> bytes:
    """Return a song in play order as a MIDI file, ``scale`` times as fast as written."""
    style = replace(click or ClickStyle(), hold=0, silent=0)
    turns = [Turn(step.index, song.bars[step.bar]) for step in song.steps] * song.rounds
    ticks = [bar.ticks for bar in make_score(turns, Manner(style), song).bars]
    starts = list(accumulate(ticks, initial=0))
    steps = [(round_, step) for round_ in range(song.rounds) for step in song.steps]
    bars = [
        _Bar(round_, step, song.bars[step.bar], tick)
        for (round_, step), tick in zip(steps, starts, strict=False)
    ]
    end = starts[-1]
    tracks = [_track(song.chart.title, _settings(song, bars, scale), end)]
    tracks.append(_track("click", _events(turns, starts, Manner(style), song), end))
    for part in Part:
        guide = Guide(frozenset({part}), PLAYED.voices)
        manner = Manner(replace(style, audible=False), guide)
        events = [*_events(turns, starts, manner, song)]
        if part is Part.TUNE:
            events += _words(song, bars)
        tracks.append(_track(part.value, events, end))
    header = _chunk(b"MThd", b"".join(_two(n) for n in (1, len(tracks), TICKS_PER_QUARTER)))
    return header + b"".join(tracks)


def number(value: int) -> bytes:
    """Write a variable-length number.

    >>> [number(value).hex() for value in (0, 0x7F, 0x80, 0x2000, 0x0FFFFFFF)]
    ['00', '7f', '8100', 'c000', 'ffffff7f']
    """
    data = [value & 0x7F]
    while value := value >> 7:
        data.insert(0, value & 0x7F | 0x80)
    return bytes(data)


def _settings(song: Song, bars: list[_Bar], scale: Fraction) -> Iterator[_Placed]:
    """Yield markers, and what changes of meter, key and tempo from bar to bar."""
    told: dict[int, bytes] = {}
    before: _Bar | None = None
    for here in bars:
        for words in _markers(song, here, before):
            yield _Placed(here.tick, _meta(MARKER, words.encode()))
        for kind, data in _setting(here.bar, scale):
            if told.get(kind) != data:
                told[kind] = data
                yield _Placed(here.tick, _meta(kind, data))
        before = here


def _markers(song: Song, here: _Bar, before: _Bar | None) -> Iterator[str]:
    names, step = song.section_names, here.step
    again = before is None or step.bar <= before.step.bar
    if step.why:
        yield step.why
    name = names[step.bar]
    if name and (again or before is None or names[before.step.bar] != name):
        turn = step.pass_ + here.round * song.last_passes[step.bar]
        yield name if turn == 1 else f"{name}, {ordinal(turn)} time"


def _setting(bar: Bar, scale: Fraction) -> Iterator[tuple[int, bytes]]:
    # As long as the bar: a pickup of two eighths is a bar of 2/8. Some are too fine for a meter.
    meter = meter_of(bar.length, bar.meter.unit) or bar.meter
    clocks = min(MOST_CLOCKS, round(min(bar.meter.beat, bar.length) * CLOCKS_PER_QUARTER))
    yield METER, bytes([meter.count, meter.unit.bit_length() - 1, clocks, 8])
    yield KEY, bytes([bar.key.fifths % 256, bar.key.mode == "minor"])
    quarters = bar.tempo * scale * bar.meter.beat
    yield TEMPO, min(SLOWEST, round(MICROSECONDS / quarters)).to_bytes(3, "big")


def _events(turns: list[Turn], starts: list[int], manner: Manner, song: Song) -> Iterator[_Placed]:
    for start, bar in zip(starts, make_score(turns, manner, song).bars, strict=False):
        for event in bar.events:
            yield _Placed(start + event.tick, event.message)


def _words(song: Song, bars: list[_Bar]) -> Iterator[_Placed]:
    """Yield the words, each before the note it is sung on; a hyphen joins it to the next."""
    for here in bars:
        for note in tune_of(song, here.step, here.round):
            if note.syllable and note.syllable.text:
                text = note.syllable.text + ("-" if note.syllable.joined else " ")
                tick = here.tick + round(note.at * TICKS_PER_QUARTER)
                yield _Placed(tick, _meta(LYRIC, text.encode()))


def _track(name: str, events: Iterable[_Placed], end: int) -> bytes:
    """Write a track: its name, its events by tick, its end."""
    placed = sorted(events, key=lambda event: (event.tick, event.data[0] != 0xFF))
    data, before = number(0) + _meta(NAME, name.encode()), 0
    for event in placed:
        data += number(event.tick - before) + event.data
        before = event.tick
    return _chunk(b"MTrk", data + number(max(0, end - before)) + _meta(END, b""))


def _meta(kind: int, data: bytes) -> bytes:
    return bytes([0xFF, kind]) + number(len(data)) + data


def _chunk(kind: bytes, data: bytes) -> bytes:
    return kind + len(data).to_bytes(4, "big") + data


def _two(value: int) -> bytes:
    return value.to_bytes(2, "big")
