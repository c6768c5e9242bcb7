"""Writing a chart as `.lead` text, its columns aligned like the systems on paper."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from chartwalk.chart import Bar, Chart, Section, Sign, carried_tempo, next_number
from chartwalk.leadfile.cells import write_chords, write_tune, write_words
from chartwalk.leadfile.number import format_number
from chartwalk.leadfile.road import write_road

BARS_A_SYSTEM: Final = 4
LABEL: Final = 8  # room for the word that begins a line
BAR_LINES: Final = {"|": "  | ", "||": "  ||", "|:": "  |:", ":|": " :| "}


def dumps(chart: Chart) -> str:
    """Write a chart; `loads` gives the same chart back."""
    lines = [_line("title", chart.title)]
    if chart.credit:
        lines.append(_line("credit", chart.credit))
    lines += [_line("note", note) for note in chart.note.split("\n")] if chart.note else []
    if chart.voice:
        lines.append(_line("voice", " ".join(pitch.ascii for pitch in chart.voice)))
    before: Bar | None = None
    for place, section in enumerate(chart.sections):
        for number, system in enumerate(_systems(section)):
            heads = _changed(before, system[0])
            if before is None:
                lines += heads
                heads = []
            if number == 0 and (section.name or place):
                heads.append(_line("section", section.name))
            lines += ["", *heads, *_rows(system, before)]
            before = system[-1]
    return "\n".join(lines) + "\n"


def _line(word: str, value: str) -> str:
    return f"{word:<{LABEL}} {value}".rstrip()


def _systems(section: Section) -> Iterator[list[Bar]]:
    """Cut a section into systems of four bars, earlier where the next bar needs a new line."""
    system: list[Bar] = []
    for bar in section.bars:
        full = sum(not b.pickup for b in system) == BARS_A_SYSTEM
        if system and (full or _breaks(system[-1], bar)):
            yield system
            system = []
        system.append(bar)
    if system:
        yield system


def _breaks(bar: Bar, following: Bar) -> bool:
    ends = bar.double or bar.mark(Sign.REPEAT_END)
    starts = following.mark(Sign.REPEAT_START)
    return bool((ends and starts) or _changed(bar, following))


def _changed(before: Bar | None, bar: Bar) -> list[str]:
    """Return the header lines for what is in force from this bar on and was not before."""
    carried = replace(before, tempo=carried_tempo(before, bar.meter)) if before else None
    old = _in_force(carried) if carried else {}
    return [_line(word, value) for word, value in _in_force(bar).items() if old.get(word) != value]


def _in_force(bar: Bar) -> dict[str, str]:
    return {
        "key": bar.key.ascii,
        "meter": str(bar.meter),
        "tempo": format_number(bar.tempo),
        "feel": bar.feel,
    }


def _rows(system: Sequence[Bar], before: Bar | None) -> list[str]:
    cells: dict[str, list[str]] = {"road": []}
    number = before.number if before else None
    for bar in system:
        counted = bar.number == next_number(number, bar.pickup)
        cells["road"].append(write_road(bar, None if counted else bar.number))
        number = bar.number
    cells["chords"] = [write_chords(bar) for bar in system]
    cells["tune"] = [write_tune(bar) for bar in system]
    for verse in range(max(len(bar.words) for bar in system)):
        word = "words" if verse == 0 else f"words {verse + 1}"
        cells[word] = [
            write_words(bar.words[verse]) if verse < len(bar.words) else "" for bar in system
        ]
    signs, plain = _bar_lines(system), ["|"] * (len(system) + 1)
    widths = [max(len(row[place]) for row in cells.values()) for place in range(len(system))]
    return [
        _row(word, row, widths, signs if word == "chords" else plain)
        for word, row in cells.items()
        if any(row) or word == "chords"
    ]


def _bar_lines(system: Sequence[Bar]) -> list[str]:
    lines = ["|"] * (len(system) + 1)
    for place, bar in enumerate(system):
        if bar.mark(Sign.REPEAT_START):
            lines[place] = "|:"
        if bar.mark(Sign.REPEAT_END):
            lines[place + 1] = ":|"
        elif bar.double:
            lines[place + 1] = "||"
    return lines


def _row(word: str, cells: Sequence[str], widths: Sequence[int], signs: Sequence[str]) -> str:
    """Write one row, every cell between its bar lines."""
    text = f"{word:<{LABEL - 1}}{BAR_LINES[signs[0]]}"
    for cell, width, sign in zip(cells, widths, signs[1:], strict=True):
        text += f" {cell:<{width}}{BAR_LINES[sign]}"
    return text.rstrip()
