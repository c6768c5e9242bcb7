"""A song written out in the order it is played, without repeats and jumps.

It sounds as before: a chord that a bar holds from the bar before on paper is written where the
player comes from somewhere else, and a tie is kept where it leads to the note it led to. Every bar
has the words of its pass as the only verse, and the bars are counted through. A song with more
verses than passes is written out once for each round. A section begins anew
with every jump back into it, and its name says which time it is: Verse, 2nd time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar, Change, Chart, Note, Section, Syllable, next_number, sung
from chartwalk.chord import ChordSymbol
from chartwalk.roadmap import Step, ordinal
from chartwalk.song import Song
from chartwalk.tune import words_of

NO_CHORD: Final = ChordSymbol.parse("N.C.")
HELD: Final = Syllable("")
Turn = tuple[int, Step]
"""A round of the song, from 0, and a step of it."""


def unrolled(song: Song) -> Chart:
    """Return the chart that a song is when it is written out in play order."""
    starts = [start for start, section in song.chart.section_starts() for _ in section.bars]
    sections: list[tuple[str, list[Bar]]] = []
    turns = [(round_, step) for round_ in range(song.rounds) for step in song.steps]
    before: Step | None = None
    for (round_, step), bar in zip(turns, _bars(song, turns), strict=True):
        if before is None or step.bar <= before.bar or starts[step.bar] != starts[before.bar]:
            sections.append((_name(song, round_, step), []))
        sections[-1][1].append(bar)
        before = step
    return replace(
        song.chart, sections=tuple(Section(name, tuple(bars)) for name, bars in sections)
    )


def _name(song: Song, round_: int, step: Step) -> str:
    name = song.section_names[step.bar]
    turn = step.pass_ + round_ * song.last_passes[step.bar]
    if turn == 1:
        return name
    again = f"{ordinal(turn)} time"
    return f"{name}, {again}" if name else again


def _bars(song: Song, turns: Sequence[Turn]) -> Iterator[Bar]:
    """Yield the bars in play order, round by round."""
    number: str | None = None
    chord: ChordSymbol | None = None
    before: Bar | None = None
    for (round_, step), after in zip(turns, (*turns[1:], None), strict=True):
        bar = song.bars[step.bar]
        if not step.index:
            before = None  # no tie leads from the end to the beginning
        number = next_number(number, bar.pickup)
        words = _words(song, before, round_, step)
        yield replace(
            bar,
            number=number,
            changes=_changes(song, chord, step),
            tune=_tune(song, step, after if after and after[1].index else None),
            words=(words,) if words else (),
            marks=(),
        )
        chord = song.soundings[step.bar][-1].symbol
        before = bar


def _changes(song: Song, chord: ChordSymbol | None, step: Step) -> tuple[Change, ...]:
    """Write out the chord that a bar holds on paper, where another one sounds before it."""
    changes, first = song.bars[step.bar].changes, song.soundings[step.bar][0]
    silent = (chord is None or chord.silent) and (first.symbol is None or first.symbol.silent)
    if not first.held or silent or chord == first.symbol:
        return changes
    return (Change(Fraction(0), first.symbol or NO_CHORD), *changes)


def _words(song: Song, before: Bar | None, round_: int, step: Step) -> tuple[Syllable, ...]:
    """Return the words of a step; ``before`` is the bar played before it.

    A first note that a tie leads into on paper, but not as played, sings no syllable all the same.
    """
    bar = song.bars[step.bar]
    if not bar.words:
        return ()
    words = words_of(song, step, round_)
    if any(note.pitch for note in bar.tune):
        words = words[: len(sung(bar, _on_paper_before(song, step.bar)))]
    struck = before is None or not _joins(before, bar)
    return (HELD, *words) if words and struck and _led_into(song, step.bar) else words


def _tune(song: Song, step: Step, after: Turn | None) -> tuple[Note, ...]:
    """Return the notes of a step, with the tie at the end only where it leads on as played."""
    bar = song.bars[step.bar]
    if not bar.tune or not bar.tune[-1].tied:
        return bar.tune
    round_, coming = after or (0, step)
    if after and _joins(bar, song.bars[coming.bar]):
        sings = bool(song.bars[coming.bar].words) and bool(words_of(song, coming, round_))
        if _led_into(song, coming.bar) or not sings:
            return bar.tune
    return (*bar.tune[:-1], replace(bar.tune[-1], tied=False))


def _on_paper_before(song: Song, bar: int) -> Bar | None:
    return song.bars[bar - 1] if bar else None


def _led_into(song: Song, bar: int) -> bool:
    """Whether a tie leads into the first note of a bar on paper."""
    before = _on_paper_before(song, bar)
    return before is not None and _joins(before, song.bars[bar])


def _joins(bar: Bar, following: Bar) -> bool:
    """Whether the last note of a bar is tied to the first one of another."""
    if not bar.tune or not following.tune:
        return False
    last, first = bar.tune[-1], following.tune[0]
    return last.tied and last.pitch is not None and last.pitch == first.pitch
