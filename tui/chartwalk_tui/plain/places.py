"""Where we are, in words: the song, the step, the bar with its tune, what the road does next."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final

from chartwalk.chart import Syllable
from chartwalk.depth import Depth
from chartwalk.key import Key
from chartwalk.practice import Session
from chartwalk.roadmap import ordinal
from chartwalk.tune import TuneNote, tune_of, words_of
from chartwalk_tui.plain.chords import ChordWords
from chartwalk_tui.printable import count
from chartwalk_tui.views.words import bars_words, news, when

BEAT_NAMES: Final = {
    Fraction(1, 2): " in eighths",
    Fraction(3, 2): " in dotted quarters",
    Fraction(2): " in halves",
    Fraction(3): " in dotted halves",
}
"""The notes that a tempo counts, where they are not quarters."""


def bar_name(session: Session, step: int | None = None) -> str:
    """Name the bar of a step, or of the one under way: bar 7, pickup."""
    here = session.step if step is None else step
    return bars_words(session, here, here)


def setting_line(session: Session) -> str:
    """Say key, meter, tempo and depth as they are now."""
    bar, shift = session.bar, session.arrangement.shift
    moved = f", {abs(shift)} {'up' if shift > 0 else 'down'}" if shift else ""
    key = _key_words(bar.key) if session.written.keyed else "no key is named"
    feel = f", {bar.feel}" if bar.feel != "straight" else ""
    depth = session.arrangement.depth
    told = "as written" if depth is Depth.WRITTEN else depth.value
    pace = f"{bar.meter}{feel}, {tempo_words(session)}."
    return f"{key[:1].upper()}{key[1:]}{moved}. {pace} Chords {told}."


def _key_words(key: Key) -> str:
    signs = key.signature.partition(":")[0]
    names = f": {', '.join(map(str, key.altered))}" if key.altered else ""
    return f"{key}, {signs}{names}"


def tempo_words(session: Session) -> str:
    """Say the tempo, and the goal where that is another."""
    tempo, goal = round(session.tempo), round(session.goal)
    unit = BEAT_NAMES.get(session.bar.meter.beat, "")
    return f"tempo {tempo}{unit}" + (f", goal {goal}" if tempo != goal else "")


def place_line(session: Session, marks: int = 0) -> str:
    """Say where we are: bar, step, section, pass, its trouble marks, what is new or wrong."""
    here = session.here
    parts = [
        bar_name(session),
        f"step {here.index + 1} of {len(session.song.steps)}",
        session.song.section_names[here.bar],
        f"{ordinal(here.pass_)} time" if here.pass_ > 1 else "",
        _round_words(session),
        count(marks, "mark") if marks else "",
    ]
    problems = session.written.flagged.get(here.bar, ())
    wrong = f" Wrong here in the file: {problems[0].message}." if problems else ""
    changed = f" Now {changes}." if (changes := _news_here(session)) else ""
    return f"{_sentence(parts)}{changed}{wrong}"


def _round_words(session: Session) -> str:
    rounds = session.song.rounds
    return f"round {session.round + 1} of {rounds}" if rounds > 1 else ""


def _news_here(session: Session) -> str:
    """Say what changed from the bar played before: meter, key, tempo, feel."""
    if session.step == 0:
        return ""
    before = session.song.bars[session.song.steps[session.step - 1].bar]
    return news(before, session.bar)


def jump_line(session: Session) -> str:
    """Say the next jump, or how far the end is."""
    jump = session.song.jump_after(session.step)
    if jump is None:
        bars = len(session.song.steps) - 1 - session.step
        more = (
            f", then round {session.round + 2}" if session.round + 1 < session.song.rounds else ""
        )
        return f"{count(bars, 'bar')} to the end{more}." if bars else f"Last bar{more}."
    bars = jump.index - session.step
    far = "next bar" if bars == 1 else f"in {bars} bars"
    return _sentence([far, jump.why or "", f"to {bar_name(session, jump.index)}"])


def jump_soon(session: Session) -> str:
    """Say what the next bar brings, where it does not follow on paper or the song ends here."""
    jump = session.song.jump_after(session.step)
    last = session.step == session.end().step
    return jump_line(session) if last or (jump and jump.index == session.step + 1) else ""


def coming_line(session: Session, last: int) -> str:
    """Say in a run up to a step (``last``) what the next bar begins: a jump, a section; or the end.

    In a loop the last bar is no end.
    """
    song, step = session.song, session.step
    if step >= last:
        return "" if session.lap else "Last bar."
    coming = song.steps[step + 1]
    section = song.section_names[coming.bar]
    begins = section if section != song.section_names[session.here.bar] else ""
    if not (coming.why or begins):
        return ""
    bar = f"to {bar_name(session, coming.index)}" if coming.why else ""
    return _sentence(["next bar", coming.why or "", bar, begins])


def bar_lines(session: Session, chord: ChordWords) -> Iterator[str]:
    """Yield the bar in lines: its chords, those left out, its tune, its words."""
    bar, song = session.bar, session.song
    chords = [
        f"{chord(sounding.symbol)} {_held(sounding.held)}{when(0, bar.beat_at(sounding.at))}"
        for sounding in session.chords
        if sounding.symbol
    ]
    yield _named("Chords", chords)
    spared = [
        f"{chord(change.symbol)} {when(0, bar.beat_at(change.at))}" for change in session.spared
    ]
    if spared:
        yield _named("Left out", spared)
    tune = [note for note in tune_of(song, session.here, session.round) if note.pitch or bar.tune]
    yield _named("Tune", [f"{_note(note)} {when(0, bar.beat_at(note.at))}" for note in tune])
    if syllables := words_of(song, session.here, session.round):
        yield f"Words: {_sung(syllables)}"


def _note(note: TuneNote) -> str:
    return f"{note.pitch or 'rest'}{' held' if note.held else ''}"


def _held(held: bool) -> str:
    return "held " if held else ""


def _named(what: str, items: list[str]) -> str:
    return f"{what}: {', '.join(items) or 'none'}."


def _sung(syllables: Sequence[Syllable]) -> str:
    """Join syllables to words; one that goes on in the next bar keeps its hyphen."""
    sung = [syllable for syllable in syllables if syllable.text]
    text = "".join(syllable.text + " " * (not syllable.joined) for syllable in sung)
    return f"{text}-" if sung and sung[-1].joined else text.strip()


def _sentence(parts: Iterable[str]) -> str:
    """Join parts with commas, begin with a capital and end with a stop."""
    text = ", ".join(filter(None, parts))
    return f"{text[:1].upper()}{text[1:]}."
