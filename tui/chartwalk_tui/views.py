"""From a practice session to the values that the widgets of the Stand draw. No rule of music."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from chartwalk.chart import Bar, RoadMark, Sign
from chartwalk.chord import ChordSymbol, Tone, motion
from chartwalk.pitch import Name
from chartwalk.practice import Mode, Session
from chartwalk.roadmap import Step, ordinal
from chartwalk.tune import TuneNote, tune_of
from chartwalk_tui.widgets.bar_grid import BarView, Placed
from chartwalk_tui.widgets.chord_next import ChordNext
from chartwalk_tui.widgets.chord_now import ChordLetters, ChordNow, PaletteTone
from chartwalk_tui.widgets.keyboard import LitKey
from chartwalk_tui.widgets.road_strip import RoadBar, RoadView
from chartwalk_tui.widgets.text_line import Ends


def song_line(session: Session) -> Ends:
    """Return the title at the left; key, meter and tempo at the right."""
    bar = session.bar
    tempo, goal = round(session.tempo), round(session.goal)
    pace = f"tempo {tempo}" + (f" of {goal}" if tempo != goal else "")
    feel = f" · {bar.feel}" if bar.feel != "straight" else ""
    key = (f"{bar.key}", "strong")
    rest = ((f"{bar.meter}", "strong"), (f"{feel} · ", "dim"), (f"{pace} ", "strong"))
    return Ends(
        ((" ", "plain"), (session.song.chart.title, "title")),
        (key, (f" ({bar.key.signature}) · ", "dim"), *rest),
        (key, (f"{f' {bar.key.short_signature}'.rstrip()} · ", "dim"), *rest),
    )


def where_line(session: Session, marks: int = 0) -> Ends:
    """Return where we are and the trouble marks of the bar; at the right the next jump."""
    here = session.here
    section = session.song.section_names[here.bar]
    counting = session.mode is Mode.COUNT_IN
    place = ["count-in"] if counting else [section] if section else []
    if here.pass_ > 1:
        place.append(f"{ordinal(here.pass_)} time")
    place.append(f"bar {session.bar.number}")
    left = (
        (" " + " · ".join(place), "plain"),
        (f" ×{marks}" if marks else "", "mark"),
        (f" · step {here.index + 1} of {len(session.song.steps)}", "plain"),
    )
    jump = session.song.jump_after(session.step)
    if jump is None:
        bars = len(session.song.steps) - 1 - session.step
        end = "last bar" if bars == 0 else f"{_count(bars, 'bar')} to the end"
        return Ends(left, ((f"{end} ", "dim"),))
    bars = jump.index - session.step
    why = (f"{jump.why} ", "jump")
    when = "next: " if bars == 1 else f"in {bars} bars: "
    return Ends(left, ((when, "dim"), why), ((when.replace(" bars", ""), "dim"), why))


def chord_now(session: Session) -> ChordNow:
    """Return the chord now, its tones and its bass."""
    symbol = session.now.symbol
    if symbol is None:
        return ChordNow(ChordLetters(words="pickup" if session.bar.pickup else "no chord yet"))
    if symbol.silent:
        return ChordNow(letters_of(symbol))
    tones = tuple(
        PaletteTone(str(tone.name), tone.degree.label, _friendly(tone.name), _tone_role(tone))
        for tone in symbol.palette.tones
    )
    return ChordNow(letters_of(symbol), tones, _bass_words(symbol))


def letters_of(symbol: ChordSymbol) -> ChordLetters:
    """Take a symbol apart for the big letters."""
    if symbol.root is None:
        return ChordLetters(root="N.C.")
    root, bass = str(symbol.root), f"/{symbol.bass}" if symbol.bass else ""
    suffix = symbol.display.removeprefix(root).removesuffix(bass)
    return ChordLetters(root, suffix, bass)


def chord_next(session: Session) -> ChordNext:
    """Return the next change, and how the hands get there."""
    ahead = session.ahead()
    if ahead is None:
        return ChordNext(ChordLetters(words="no more changes"))
    symbol, now = ahead.symbol, session.now.symbol
    coming = ChordNext(letters_of(symbol), _when(ahead.bars, ahead.beat), ahead.why or "")
    if symbol.silent:
        return coming
    coming = replace(coming, names=" ".join(str(name) for name in symbol.palette.names))
    if now is None or now.silent:
        return coming
    way = motion(now.palette, symbol.palette)
    moves = [f"{old}→{new}" for old, new in way.moves]
    moves += [f"+{name}" for name in way.joins] + [f"−{name}" for name in way.leaves]
    return replace(
        coming,
        stays=" ".join(map(str, way.stays)),
        moves=" ".join(moves),
        bass=_bass_move(now, symbol),
    )


def lit_keys(session: Session) -> tuple[LitKey, ...]:
    """Return the keys to light for the chord now, named as a player calls them."""
    symbol = session.now.symbol
    if symbol is None:
        return ()
    palette = symbol.palette
    roles = {tone.name: _tone_role(tone) for tone in palette.tones}
    keys = {"now": "root-key", "tension": "tension-key"}
    lit = []
    for place, pitch in enumerate(palette.keys):
        role = keys.get(roles.get(pitch.name, ""), "tone-key")
        if place == 0 and symbol.bass:
            role = "bass-key"
        lit.append(LitKey(pitch.midi, str(pitch.name.friendly or pitch.name), role))
    return tuple(lit)


def bar_view(session: Session, place: Fraction | None = None) -> BarView:
    """Return the bar under way; the click is ``place`` quarter notes from its bar line."""
    bar = session.bar
    beats = _beats(bar)
    chords = tuple(
        Placed(
            sounding.at / bar.length,
            ("(" + sounding.symbol.display + ")" if sounding.held else sounding.symbol.display),
            "here" if index == session.change else "next",
        )
        for index, sounding in enumerate(session.chords)
        if sounding.symbol
    )
    tune = tune_of(session.song, session.here)
    notes = tuple(_note(note, bar) for note in tune if note.pitch or not _wordless(note))
    words = tuple(
        Placed(note.at / bar.length, note.syllable.text + "-" * note.syllable.joined, "strong")
        for note in tune
        if note.syllable and note.syllable.text
    )
    beat = None
    if place is not None:
        beat = sum(item.at * bar.length <= place for item in beats) - 1
    lit = None if beat is None or beat < 0 else beat
    return BarView(beats, chords, notes, words, _pulses(bar), lit)


def count_in_view(session: Session, place: Fraction, length: Fraction) -> BarView:
    """Return the bar to come under the beats of the count-in, ``length`` quarters long."""
    places = session.bar.meter.beat_places(length)
    beats = tuple(
        Placed(at / length, str(number), "dim") for number, at in enumerate(places, start=1)
    )
    beat = sum(at <= place for at in places) - 1
    return replace(bar_view(session), beats=beats, pulses=(), beat=beat)


def road_view(session: Session, marks: Mapping[int, int], count: int) -> RoadView:
    """Return the steps from here on; ``marks`` counts the marks of each written bar."""
    steps = session.song.steps[session.step : session.step + count]
    bars = tuple(_road_bar(session, step, marks) for step in steps)
    return RoadView(bars, ends=session.step + count >= len(session.song.steps))


def _road_bar(session: Session, step: Step, marks: Mapping[int, int]) -> RoadBar:
    song = session.song
    bar = song.bars[step.bar]
    chords = " ".join(
        sounding.symbol.display if not sounding.held else "·"
        for sounding in song.soundings[step.bar]
        if sounding.symbol
    )
    starts = step.index == 0 or song.section_names[step.bar] != song.section_names[
        song.steps[step.index - 1].bar]  # fmt: skip
    return RoadBar(
        bar.number,
        chords,
        why=_short(step.why or ""),
        signs=" ".join(map(_sign, bar.marks)),
        marks=marks.get(step.bar, 0),
        section=song.section_names[step.bar] if starts else "",
    )


def _short(why: str) -> str:
    """Say a jump in a word or two, for the strip: 2nd time, beginning, segno."""
    return why.removeprefix("repeat, ").removeprefix("back to ").removeprefix("the ")


def _sign(mark: RoadMark) -> str:
    if mark.sign is Sign.ENDING:
        return " ".join(f"{number}." for number in mark.passes)
    return mark.sign.words


def _beats(bar: Bar) -> tuple[Placed, ...]:
    return tuple(
        Placed(at / bar.length, str(int(bar.beat_at(at))), "dim")
        for at in bar.meter.beat_places(bar.length, bar.lead_in)
    )


def _pulses(bar: Bar) -> tuple[Fraction, ...]:
    places = bar.meter.pulse_places(bar.length, bar.lead_in)
    return tuple(place / bar.length for place in places)


def _note(note: TuneNote, bar: Bar) -> Placed:
    name = "rest" if note.pitch is None else f"({note.pitch})" if note.held else str(note.pitch)
    role = "faint" if note.pitch is None else "plain"
    long = note.length >= bar.meter.beat and note.pitch is not None
    until = (note.at + note.length) / bar.length if long else None
    return Placed(note.at / bar.length, name, role, until)


def _wordless(note: TuneNote) -> bool:
    return note.pitch is None and note.syllable is not None


def _tone_role(tone: Tone) -> str:
    if tone.degree.number == 1:
        return "now"
    return "tension" if tone.degree.number >= 8 else "strong"


def _friendly(name: Name) -> str:
    return str(name.friendly) if name.friendly else ""


def _bass_words(symbol: ChordSymbol) -> str:
    if symbol.bass is None:
        return ""
    tone = symbol.palette.bass_tone
    return f"over {symbol.bass}" + (f", the {tone.degree.label}" if tone else ", not in the chord")


def _bass_move(now: ChordSymbol, coming: ChordSymbol) -> str:
    old, new = now.palette.bass, coming.palette.bass
    return f"{old}→{new}" if old != new else f"{new} stays"


def _when(bars: int, beat: Fraction) -> str:
    count = f"beat {_beat_words(beat)}"
    if bars == 0:
        return f"on {count}"
    far = "next bar" if bars == 1 else f"in {bars} bars"
    return far if beat == 1 else f"{far}, {count}"


def _beat_words(beat: Fraction) -> str:
    """Say a beat: 3, or the half after it, or the exact place."""
    whole, rest = divmod(beat, 1)
    if rest == 0:
        return str(whole)
    return f"{whole}½" if rest == Fraction(1, 2) else f"{whole} and {rest}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" + ("" if number == 1 else "s")
