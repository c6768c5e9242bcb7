"""The tunebooks of music21's corpus, read by us and by music21 10.5.1 itself.

Some 13,000 tunes in the public domain. Every one opens and unrolls; the notes and the play order
of the fiddle books are those of music21, but for the KINDS below, each with its reason. The quick
test takes one tune in 120; with CHARTWALK_WHOLE_CORPUS=1 all are taken.
"""

import os
import re
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import pytest

from chartwalk.abc import loads, tunes
from chartwalk.abc.fields import read_meter
from chartwalk.abc.text import decode
from chartwalk.chart import Chart
from chartwalk.leadfile import dumps
from chartwalk.leadfile import loads as loads_lead
from chartwalk.reading import Reading
from chartwalk.roadmap import unroll

WHOLE = os.environ.get("CHARTWALK_WHOLE_CORPUS") == "1"
FIDDLE_BOOKS = (
    "airdsAirs",
    "josquin",
    "miscFolk",
    "nottingham-dataset",
    "oneills1850",
    "ryansMammoth",
)
OTHERS = ("essenFolksong",)
ONE_IN = 120

KINDS = {
    "signs": "music21 loses the note after a fermata (H), a quoted '>' or before '::', and the dot "
    "of a broken rhythm beside a slur, a staccato or a tie, misreads 3// and inline fields; it "
    "agrees without these signs",
    "accidentals": "music21 does not carry an accidental through its bar (ABC 2.1 section 11.3)",
    "repeats": "a repeat without |: goes back to the double bar or repeat before (4.8), in music21 "
    "to the beginning; with |: written it agrees",
    "jumps": "D.C., D.S. and Segno in words or decorations are no signs to music21; it agrees up "
    "to where we go back",
    "parts": "music21 does not follow the order of parts in the header (3.1.9); the other reader "
    "of test_play_orders_expanded does",
    "overfull": "music21 cuts a bar longer than its meter in two, and with it a note or the bars "
    "that a repeat takes; the notes agree but for such cuts",
    "wrapped": "a chord is cut by the end of a line: it is lost, to us with a warning; the other "
    "reader agrees",
    "chained": "two broken rhythms in a row, which 4.4 leaves undefined: we count both",
    "mended": "what a file leaves out or gets wrong we mend, with a warning: an ending without a "
    "sign, a repeat never closed, what is no music",
    "refused": "music21 breaks off, or refuses to expand a repeat that is never closed or has "
    "endings it can't number; the notes agree",
    "voices": "of several voices music21 has parts without bars, or other parts than ours; the "
    "other reader has ours",
    "key": "K:GM is G major to us, told in a warning, and G minor to music21",
}
"""Every kind of disagreement there is, and why. Tunes of no kind agree as they are."""

SAMPLE_COUNTS = {
    "airdsAirs": {"repeats": 5, "agree": 3, "parts": 1, "accidentals": 1, "signs": 1},
    "josquin": {"overfull": 1, "refused": 1},
    "miscFolk": {"repeats": 1, "agree": 1},
    "nottingham-dataset": {"repeats": 1, "accidentals": 1},
    "oneills1850": {"agree": 10, "repeats": 5, "accidentals": 2, "signs": 1, "jumps": 1},
    "ryansMammoth": {
        "agree": 4, "accidentals": 3, "chained": 1, "overfull": 1, "signs": 1, "repeats": 1,
        "jumps": 1,
    },
}  # fmt: skip
WHOLE_COUNTS = {
    "airdsAirs": {
        "repeats": 709, "agree": 375, "signs": 141, "parts": 64, "accidentals": 56, "voices": 11,
        "overfull": 4,
    },
    "josquin": {"refused": 29, "overfull": 26, "signs": 3, "accidentals": 1},
    "miscFolk": {
        "repeats": 110, "agree": 58, "signs": 13, "accidentals": 10, "voices": 4, "wrapped": 3,
        "parts": 3, "overfull": 2, "refused": 1,
    },
    "nottingham-dataset": {"accidentals": 1, "repeats": 1, "mended": 1},
    "oneills1850": {
        "agree": 1060, "repeats": 710, "signs": 274, "accidentals": 202, "jumps": 93,
        "overfull": 26, "refused": 10, "chained": 4, "mended": 1,
    },
    "ryansMammoth": {
        "agree": 644, "jumps": 172, "repeats": 141, "signs": 124, "accidentals": 124,
        "refused": 13, "overfull": 10, "mended": 5, "chained": 4, "key": 3,
    },
}  # fmt: skip
"""How many of a folder's tunes, of 40 and of all 4,464, are of each kind; one may be of several."""

Sung = list[tuple[str, int, int, Fraction]]  # letter, octave, alteration, length


@cache
def corpus() -> Path:
    from music21 import corpus as module

    return Path(str(module.getWork("nottingham-dataset/reelsa-c"))).parents[1]


def books(*folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted((corpus() / folder).glob("*.abc"))


def all_tunes(*folders: str) -> Iterator[tuple[Path, int]]:
    for path in books(*folders):
        for number, _ in tunes(path):
            yield path, number


def chosen(*folders: str) -> list[tuple[Path, int]]:
    found = list(all_tunes(*folders))
    return found if WHOLE else found[::ONE_IN]


@cache
def text_of(path: Path) -> str:
    return decode(path.read_bytes())


def read_tune(path: Path, number: int) -> Reading:
    return loads(text_of(path), path.name, number)


def sung(chart: Chart, order: list[int] | None = None) -> Sung:
    places = range(len(chart.bars)) if order is None else order
    return [
        (note.pitch.name.letter, note.pitch.octave, note.pitch.name.alter, note.length)
        for place in places
        for note in chart.bars[place].tune
        if note.pitch
    ]


# music21


def source(path: Path, number: int) -> str:
    """The tune's own text, cut out by its X: field."""
    found = re.split(r"(?m)^(?=X:)", text_of(path))[1:]
    place = [number for number, _ in tunes(path)].index(number)
    return found[place]


@lru_cache(maxsize=4)
def music21_part(text: str) -> Any:  # noqa: ANN401
    """The tune as music21 has it, without beams: they take a third of its time."""
    from music21 import abcFormat, stream

    translate: Any = abcFormat.translate
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(stream.Stream, "makeBeams", lambda _, **options: None)
        score = translate.abcToStreamScore(abcFormat.ABCFile().readstr(text))
    return (score.scores[0] if "Opus" in score.classes else score).parts[0]


def music21_sung(part: Any) -> Sung:  # noqa: ANN401
    return [
        (top.step, top.octave, int(top.alter), Fraction(note.quarterLength))
        for note in part.recurse().notes
        if "ChordSymbol" not in note.classes and not note.duration.isGrace
        for top in [max(note.pitches, key=lambda pitch: pitch.ps)]
    ]


def expanded(part: Any) -> Sung | None:  # noqa: ANN401
    """What music21 plays, None where it refuses."""
    from music21.exceptions21 import Music21Exception

    try:
        return music21_sung(part.expandRepeats())
    except Music21Exception:
        return None


def is_field(line: str) -> bool:
    return bool(re.match(r"[A-Za-z]:(?![|:])|%", line))


def plain(text: str) -> str:
    """A tune without what is no note, no bar line and no field, its fields on their own lines."""
    head, key, music = text.partition("\nK:")
    key_line, _, music = music.partition("\n")
    key_line = re.sub(r" *(?:bass|treble8|-8va)", "", key_line)
    head = "\n".join(line for line in head.splitlines() if is_field(line))
    music = re.sub(r"\[([KLM]:[^]]*)\]", r"\n\1\n", music)
    lines = []
    for line in music.splitlines():
        cleaned = line
        if not is_field(line):
            for waste in (
                r'"[^"]*"|![^!\s]*!|\{[^}]*\}|%.*|\[[A-Za-z]:[^]]*\]',
                r"\((?!\d)|[)`.~H-Wh-wy-]|\[\|\]|\[(?= )",
            ):
                cleaned = re.sub(waste, "", cleaned)
            cleaned = (
                re.sub(r"([A-Ga-g]):", r"\1 :", cleaned).replace(":|:", "::").replace(":]", ":|")
            )
            cleaned = re.sub(r"^:(?=[^|:])", "|:", cleaned)
            cleaned = re.sub(r"(\d)//(?!/)", r"\1/4", cleaned)
            cleaned = re.sub(r"\+([^+]*)\+", r"[\1]", cleaned)
        lines.append(cleaned)
    return "\n".join([head + key + key_line, *lines])


def opened(text: str) -> str:
    """A plain tune with an opening sign for each repeat that has none (ABC 2.1 section 4.8)."""
    lines = text.splitlines()
    head = next(place for place, line in enumerate(lines) if line.startswith("K:")) + 1
    pieces = [
        piece
        for line in lines[head:]
        for piece in ([line] if is_field(line) else re.split(_LINES, line)) + ["\n"]
    ]
    out: list[str] = []
    start, has_sign, grouped = 0, False, False
    for place, piece in enumerate(pieces):
        if is_field(piece):
            out.append(piece)
            continue
        later = bool(re.match(r"\s*\[?[2-9]", "".join(pieces[place + 1 : place + 5])))
        grouped = grouped or bool(re.search(r"[|\[]1", piece))
        closing = re.fullmatch(r":.*", piece) is not None and re.fullmatch(_LINES, piece)
        if closing and not has_sign:
            while start < len(out) and (is_field(out[start]) or not out[start].strip()):
                start += 1
            out.insert(start, "|:")
        has_sign = has_sign or bool(closing)
        last = closing and re.match(r"\s*\[?[2-9]", out[-1] if out else "") and not later
        out.append("|]" if last else ":|" if closing else piece)
        if re.fullmatch(r"\|+:", piece):
            start, has_sign, grouped = len(out), True, False
        elif (closing and not later) or (
            piece in ("||", "|]", "[|") and (grouped or not has_sign) and not later
        ):
            start, has_sign, grouped = len(out), False, False
    music = re.sub(r"\|:\s*\|(?![:|\]])", "|:", "".join(out))  # an opening sign and an empty bar
    return "\n".join([*lines[:head], music])


_LINES = r"(::|:\|+:|\|+:|:\|[|\]]?|\|\||\|\]|\[\|)"


def heard(notes: Sung) -> list[tuple[object, ...]]:
    """Letters, octaves and lengths, without alterations."""
    return [(*note[:2], note[3]) for note in notes]


def merged(notes: Sung) -> list[tuple[str, int]]:
    """Letters and octaves, repetitions left out: cuts through a note don't show."""
    steps = [note[:2] for note in notes]
    return [step for step, before in zip(steps, [None, *steps], strict=False) if step != before]


# The comparison


def divided(reading: Reading) -> bool:
    return any("far too long" in warning.message for warning in reading.warnings)


def overfull(reading: Reading, text: str) -> bool:
    """Whether a bar is longer than the meter of the head."""
    stated = re.search(r"(?m)^M: *(\S+)", text)
    meter = read_meter(stated[1]) if stated else None
    lengths = {bar.meter.quarters for bar in reading.chart.bars}
    return divided(reading) or meter is None or max(lengths) > meter.quarters


def chained(text: str) -> bool:
    """Whether one note has a broken rhythm on both sides."""
    return bool(re.search(r"[<>][^<>|\s]{1,9}[<>]", plain(text)))


def mended_road(reading: Reading) -> bool:
    words = (
        "is taken to start here",
        "is assumed",
        "is no music",
        "is never closed",
        "fits no meter",
    )
    return any(word in warning.message for warning in reading.warnings for word in words)


def wrapped(text: str) -> bool:
    """Whether a chord is cut by the end of a line."""
    return bool(re.search(r"\[(?!\d)[A-Ga-g0-9,/^_= ]*\n", text.partition("\nK:")[2]))


def note_kinds(reading: Reading, text: str) -> set[str]:  # noqa: PLR0911
    """How the written notes differ; fail where no kind explains it."""
    ours = sung(reading.chart)
    raw = music21_sung(music21_part(text))
    if ours == raw:
        return set()
    cleaned = music21_sung(music21_part(plain(text)))
    if any("voices" in warning.message for warning in reading.warnings):
        return {"voices"}
    if has_order(text):
        first = first_playings(reading.chart)
        assert heard(ours)[:first] == heard(cleaned)[:first]
        return {"parts"}
    if re.search(r"(?m)^K: ?[A-G]M\s*$", text):
        assert heard(ours) == heard(cleaned)
        return {"key"}
    if heard(ours) == heard(raw) and carried(reading, raw):
        return {"accidentals"}
    if heard(ours) == heard(cleaned):
        if ours == cleaned:
            return {"signs"}
        assert carried(reading, cleaned)
        return {"signs", "accidentals"}
    return {_rougher(reading, text, ours, cleaned)}


def first_playings(chart: Chart) -> int:
    """How many notes there are until a part is played again."""
    names: set[str] = set()
    count = 0
    for section in chart.sections:
        if section.name in names:
            break
        names.add(section.name)
        count += sum(note.pitch is not None for bar in section.bars for note in bar.tune)
    return count


def _rougher(reading: Reading, text: str, ours: Sung, theirs: Sung) -> str:
    if wrapped(text):
        return "wrapped"
    same = merged(ours) == merged(theirs)
    if same and chained(text):
        return "chained"
    if same and overfull(reading, text):
        return "overfull"
    assert mended_road(reading)
    return "mended"


def carried(reading: Reading, theirs: Sung) -> bool:
    """Whether every other alteration repeats one of its letter, earlier in the bar or tied."""
    if divided(reading):  # what was one bar is none any more
        return True
    places = iter(theirs)
    held = None
    for bar in reading.chart.bars:
        met: set[tuple[str, int]] = set()
        for note in bar.tune:
            if note.pitch is None:
                continue
            name = (note.pitch.name.letter, note.pitch.name.alter)
            other = next(places)
            if name[1] == other[2]:
                met.add(name)
            elif name not in met and held != name:
                return False
            held = name if note.tied else None
    return True


def has_order(text: str) -> bool:
    head = text.partition("\nK:")[0]
    return bool(re.search(r"(?m)^P:[A-Z]{2}", head))


def order_kinds(reading: Reading, text: str) -> set[str]:  # noqa: PLR0911
    """How the play order differs; fail where no kind explains it."""
    chart = reading.chart
    steps = unroll(chart)
    ours = sung(chart, [step.bar for step in steps])
    if any("voices" in warning.message for warning in reading.warnings):
        return {"voices"}
    if wrapped(text):
        return {"wrapped"}
    raw = expanded(music21_part(text))
    if raw is not None and heard(raw) == heard(ours):
        return set()
    if has_order(text):
        return {"parts"}
    part = music21_part(opened(plain(text)))
    theirs = expanded(part)
    if theirs is None:
        return {"refused"}
    if heard(theirs) == heard(ours):
        return {"repeats"}
    return {_jump_or_overfull(reading, text, theirs, part)}


def _jump_or_overfull(reading: Reading, text: str, theirs: Sung, part: Any) -> str:  # noqa: ANN401
    chart = reading.chart
    steps = unroll(chart)
    back = [step.index for step in steps if step.why and step.why.startswith("back to")]
    if back:
        before = sung(chart, [step.bar for step in steps[: back[0]]])
        if heard(before) == heard(theirs)[: len(before)]:
            return "jumps"
    if overfull(reading, text) and merged(sung(chart)) == merged(music21_sung(part)):
        return "overfull"
    return _rougher(reading, text, sung(chart, [step.bar for step in steps]), theirs)


def kinds_of(path: Path, number: int) -> set[str]:
    from music21.abcFormat import ABCHandlerException

    reading, text = read_tune(path, number), source(path, number)
    try:
        return note_kinds(reading, text) | order_kinds(reading, text)
    except ABCHandlerException:
        return {"refused"}


@pytest.mark.parametrize("folder", [*FIDDLE_BOOKS, *OTHERS])
def test_every_tune_opens_and_unrolls(folder: str) -> None:
    found = chosen(folder)
    for path, number in found:
        reading = read_tune(path, number)
        assert unroll(reading.chart)
        assert loads_lead(dumps(reading.chart)).chart == reading.chart
        assert all(warning.line and warning.column for warning in reading.warnings)
    assert found


@pytest.mark.parametrize("folder", sorted(FIDDLE_BOOKS, reverse=True))
def test_notes_and_order_are_those_of_music21(folder: str) -> None:
    counts: Counter[str] = Counter()
    for path, number in chosen(folder):
        counts.update(kinds_of(path, number) or {"agree"})
    assert set(counts) <= {"agree", *KINDS}
    assert counts == (WHOLE_COUNTS if WHOLE else SAMPLE_COUNTS)[folder]


def test_chords_are_those_of_music21() -> None:
    """Nottingham's second tune by its symbols; where neither of us reads one, it is left out."""
    path = corpus() / "nottingham-dataset" / "reelsa-c.abc"
    reading = read_tune(path, 81)
    ours = [change.symbol.text for bar in reading.chart.bars for change in bar.changes]
    theirs = [
        symbol.figure
        for symbol in music21_part(source(path, 81)).recurse().getElementsByClass("ChordSymbol")
    ]
    assert ours == [figure for figure in theirs if figure != "D/f+"]
    told = [warning.message.partition(":")[0] for warning in reading.warnings]
    assert [message for message in told if message.startswith("chord")] == ["chord 'D/f+'"]
