"""The road row of a `.lead` system: marks, printed numbers and fermatas, and the way back."""

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar, RoadMark, Sign
from chartwalk.leadfile.cells import Report, named
from chartwalk.leadfile.layout import Token
from chartwalk.leadfile.number import format_number, parse_number
from chartwalk.mending.fermatas import last_begun

ROAD_WORDS: Final = {
    sign.value: sign for sign in Sign if sign.value[0].isalpha() and sign is not Sign.ENDING
}
AFTER_JUMP: Final = "repeat after jump"
FERMATA: Final = "fermata"
_ENDING: Final = re.compile(r"(?:[1-9]\d?\.\s*)+")
_TIMES: Final = re.compile(r"(\d{1,2}) ?x|x ?(\d{1,2})")
_BAR_NUMBER: Final = re.compile(r"bar\s+(\S+)", re.IGNORECASE)
_DOTTED: Final = re.compile(r"^d\.? ?([cs])\.?(?= |$)")


@dataclass(slots=True)
class RoadCell:
    """The marks of a bar in the road row.

    ``fermatas`` are the beats they stand on, each with its place in the text; None is the last
    note or chord.
    """

    marks: tuple[RoadMark, ...] = ()
    pickup: bool = False
    times: int | None = None
    after_jump: bool = False
    number: str | None = None
    fermatas: tuple[tuple[Fraction | None, Token], ...] = ()


def read_road(cell: Token, report: Report) -> RoadCell:
    """Read comma-separated road marks."""
    road = RoadCell()
    place = 0
    for part in cell.text.split(","):
        text = part.strip()
        token = Token(text, cell.line, cell.column + place + len(part) - len(part.lstrip()))
        place += len(part) + 1
        if text:
            _read_mark(road, token, report)
    return road


def _read_mark(road: RoadCell, token: Token, report: Report) -> None:
    word = " ".join(token.text.lower().split())
    if word.startswith(("d.", "d ")):  # D.C. al Fine, as it is printed
        word = _DOTTED.sub(r"d\1", word)
    if word == "pickup":
        road.pickup = True
    elif word == AFTER_JUMP:
        road.after_jump = True
    elif word.partition("@")[0].rstrip() == FERMATA:
        _read_fermata(road, word, token, report)
    elif times := _TIMES.fullmatch(word):
        if road.times is not None:
            report(token, "how often the repeat is played stands twice in one bar")
        road.times = int(times[1] or times[2])
    elif number := _BAR_NUMBER.fullmatch(token.text):
        if road.number is not None:
            report(token, "a bar has one number")
        road.number = number[1]
    elif _ENDING.fullmatch(word):
        passes = tuple(int(number) for number in re.findall(r"\d+", word))
        road.marks += (RoadMark(Sign.ENDING, passes),)
    elif word in ROAD_WORDS:
        road.marks += (RoadMark(ROAD_WORDS[word]),)
    else:
        fits = ", ".join((*ROAD_WORDS, FERMATA))
        report(token, f"road mark {token.text!r} is not known: write pickup, {fits}, 1. or 3x")


def _read_fermata(road: RoadCell, word: str, token: Token, report: Report) -> None:
    """Read ``fermata``, on the last note or chord, or ``fermata@3``, on that beat."""
    _, at, stated = word.partition("@")
    try:
        beat = parse_number(stated.strip()) if at else None
    except ValueError:
        report(token, f"{token.text!r} needs its beat, as in fermata@3, or none: fermata")
        return
    if beat in [other for other, _ in road.fermatas]:
        report(token, f"{word!r} stands twice in one bar")
    road.fermatas += ((beat, token),)


def with_fermatas(bar: Bar, road: RoadCell, report: Report) -> Bar:
    """Return a bar that has its chords and tune with the fermatas of its cell."""
    places = set()
    for beat, token in road.fermatas:
        at = last_begun(bar.tune, bar.changes) if beat is None else bar.offset_of(beat)
        if 0 <= at < bar.length:
            places.add(at)
        else:
            stated = format_number(bar.beat_at(at))
            report(token, f"beat {stated} lies outside this bar of {named(bar)}")
    return replace(bar, fermatas=tuple(sorted(places))) if places else bar


def write_road(bar: Bar, number: str | None) -> str:
    """Write the road marks of a bar; ``number`` is its number where the page counts otherwise."""
    words = ["pickup"] if bar.pickup else []
    for mark in bar.marks:
        if mark.sign is Sign.ENDING:
            words.append(" ".join(f"{number}." for number in mark.passes))
        elif mark.sign is Sign.REPEAT_END:
            words += [f"{mark.times}x"] if mark.times != 2 else []
            words += [AFTER_JUMP] if mark.after_jump else []
        elif mark.sign is not Sign.REPEAT_START:
            words.append(mark.sign.value)
    last = last_begun(bar.tune, bar.changes) if bar.fermatas else None
    for at in bar.fermatas:
        words.append(FERMATA if at == last else f"{FERMATA}@{format_number(bar.beat_at(at))}")
    if number is not None:
        words.append(f"bar {number}")
    return ", ".join(words)
