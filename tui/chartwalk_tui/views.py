"""From a practice session to the values that the widgets of the Stand draw. No rule of music."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Final

from chartwalk.chart import Bar, RoadMark, Sign, carried_tempo
from chartwalk.chord import ChordSymbol, Tone, motion
from chartwalk.pitch import Name
from chartwalk.practice import Mode, Session
from chartwalk.roadmap import Step, ordinal
from chartwalk.song import Song
from chartwalk.tune import TuneNote, tune_of
from chartwalk_tui.widgets.bar_grid import BarView, Placed
from chartwalk_tui.widgets.chord_next import ChordNext
from chartwalk_tui.widgets.chord_now import ChordLetters, ChordNow, PaletteTone
from chartwalk_tui.widgets.keyboard import LitKey
from chartwalk_tui.widgets.road_strip import RoadBar, RoadView
from chartwalk_tui.widgets.text_line import Ends

BEAT_NAMES: Final = {
    Fraction(1, 2): " ♪",
    Fraction(3, 2): " ♩.",
    Fraction(2): " halves",
    Fraction(3): " dotted halves",
}
"""The notes that a tempo counts, where they are not quarters."""


def song_line(session: Session) -> Ends:
    """Return the title at the left; key, meter and tempo at the right."""
    bar = session.bar
    tempo, goal = round(session.tempo), round(session.goal)
    unit = BEAT_NAMES.get(bar.meter.beat, "")
    pace = f"tempo {tempo}{unit}" + (f" (goal {goal})" if tempo != goal else "")
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
    place.append("pickup" if session.bar.number == "0" else f"bar {session.bar.number}")
    left = (
        (" " + " · ".join(place), "plain"),
        (f" ×{marks}" if marks else "", "mark"),
        (f" · step {here.index + 1} of {len(session.song.steps)}", "plain"),
    )
    jump = session.song.jump_after(session.step)
    if jump is None:
        bars = len(session.song.steps) - 1 - session.step
        end = "last bar" if bars == 0 else f"{count(bars, 'bar')} to the end"
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
        PaletteTone(_both(tone.name), tone.degree.label, _tone_role(tone))
        for tone in symbol.palette.tones
    )
    return ChordNow(letters_of(symbol), tones, _bass_words(symbol))


def letters_of(symbol: ChordSymbol) -> ChordLetters:
    """Take a symbol apart for the big letters."""
    if symbol.root is None:
        return ChordLetters(root="N.C.")
    bass = f"/{symbol.bass}" if symbol.bass else ""
    return ChordLetters(str(symbol.root), symbol.suffix, bass)


def chord_next(session: Session) -> ChordNext:
    """Return the next change, and how the hands get there."""
    ahead = session.ahead()
    if ahead is None:
        some = any(bar.changes for bar in session.song.bars)
        words = "no more changes" if some else "this sheet has no chords"
        return ChordNext(ChordLetters(words=words))
    symbol, now = ahead.symbol, session.now.symbol
    coming = session.song.steps[session.step + ahead.bars]
    why = " · ".join(filter(None, (ahead.why, news(session.bar, session.song.bars[coming.bar]))))
    found = ChordNext(letters_of(symbol), _when(ahead.bars, ahead.beat), why)
    if symbol.silent:
        return found
    found = replace(found, names=" ".join(map(_both, symbol.palette.names)))
    if now is None or now.silent:
        return found
    way = motion(now.palette, symbol.palette)
    held = {name.pitch_class: name for name in now.palette.names}
    moves = [f"{_plain(old)}→{_plain(new)}" for old, new in way.moves]
    moves += [f"+{_plain(name)}" for name in way.joins]
    moves += [f"−{_plain(name)}" for name in way.leaves]
    return replace(
        found,
        stays=" ".join(_plain(held[name.pitch_class]) for name in way.stays),
        moves=" ".join(moves),
        bass=_bass_move(now, symbol),
    )


def news(old: Bar, new: Bar) -> str:
    """Say what changes from one bar to another: meter, key, tempo, feel."""
    changes = (
        (str(new.meter), old.meter != new.meter),
        (str(new.key), old.key != new.key),
        (f"tempo {round(new.tempo)}", new.tempo != carried_tempo(old, new.meter)),
        (new.feel, old.feel != new.feel),
    )
    return ", ".join(text for text, changed in changes if changed)


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
        lit.append(LitKey(pitch.midi, _plain(pitch.name), role))
    return tuple(lit)


def bar_view(session: Session, place: Fraction | None = None) -> BarView:
    """Return the bar under way and the next one; the click is ``place`` quarters into the bar."""
    song, here = session.song, session.here
    view = _bar_of(song, here, session.change)
    if here.index + 1 < len(song.steps):
        view = replace(view, ahead=_bar_of(song, song.steps[here.index + 1]))
    if place is None:
        return view
    beat = sum(item.at * session.bar.length <= place for item in view.beats) - 1
    return replace(view, beat=beat if beat >= 0 else None)


def count_in_view(session: Session, place: Fraction, length: Fraction) -> BarView:
    """Return the beats of the count-in, ``length`` quarters long, and the bar to come beside."""
    meter = session.bar.meter
    places = meter.beat_places(length)
    return BarView(
        beats=tuple(
            Placed(at / length, str(number), "dim") for number, at in enumerate(places, start=1)
        ),
        pulses=tuple(at / length for at in meter.pulse_places(length)),
        beat=sum(at <= place for at in places) - 1,
        ahead=_bar_of(session.song, session.here),
    )


def _bar_of(song: Song, step: Step, change: int | None = None) -> BarView:
    """Return one step as rows; ``change`` is the index of the chord under way."""
    bar = song.bars[step.bar]
    tune = tune_of(song, step)
    return BarView(
        beats=_beats(bar),
        chords=tuple(
            Placed(
                sounding.at / bar.length,
                f"({sounding.symbol})" if sounding.held else str(sounding.symbol),
                "here" if index == change else "next",
            )
            for index, sounding in enumerate(song.soundings[step.bar])
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
    last = song.steps[step.index - 1].bar if step.index else None
    before = None if last is None else song.bars[last]
    starts = last is None or song.section_names[step.bar] != song.section_names[last]
    return RoadBar(
        bar.number,
        chords,
        why=_short(step.why or ""),
        signs=" ".join(map(_sign, bar.marks)),
        marks=marks.get(step.bar, 0),
        section=song.section_names[step.bar] if starts else "",
        news=news(before, bar) if before else "",
    )


def _short(why: str) -> str:
    """Say a jump in a word or two, for the strip: 2nd time, beginning, segno."""
    return why.removeprefix("repeat, ").removeprefix("back to ").removeprefix("the ")


def _sign(mark: RoadMark) -> str:
    if mark.sign is Sign.ENDING:
        return " ".join(f"{number}." for number in mark.passes)
    return mark.sign.words


def _beats(bar: Bar) -> tuple[Placed, ...]:
    """Return the felt beats; in a pickup too short for one, the notes they are made of."""
    places = bar.meter.beat_places(bar.length, bar.lead_in)
    if places:
        return tuple(Placed(at / bar.length, str(int(bar.beat_at(at))), "dim") for at in places)
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


def _tone_role(tone: Tone) -> str:
    if tone.degree.number == 1:
        return "now"
    return "tension" if tone.extension else "strong"


def _plain(name: Name) -> str:
    """Name the key as a player calls it."""
    return str(name.friendly or name)


def _both(name: Name) -> str:
    """Write the true name, and the plain one where they differ."""
    return f"{name}={name.friendly}" if name.friendly else str(name)


def _bass_words(symbol: ChordSymbol) -> str:
    if symbol.bass is None:
        return ""
    tone = symbol.palette.bass_tone
    return f"over {symbol.bass}" + (f", the {tone.degree.label}" if tone else ", not in the chord")


def _bass_move(now: ChordSymbol, coming: ChordSymbol) -> str:
    old, new = now.palette.bass, coming.palette.bass
    if old is None or new is None:
        return ""
    same = old.pitch_class == new.pitch_class
    return f"{_plain(old)} stays" if same else f"{_plain(old)}→{_plain(new)}"


def _when(bars: int, beat: Fraction) -> str:
    count = _beat_words(beat)
    if bars == 0:
        return f"on {count}"
    far = "next bar" if bars == 1 else f"in {bars} bars"
    return far if beat == 1 else f"{far}, {count}"


def _beat_words(beat: Fraction) -> str:
    """Say a beat: beat 3, the and of 3, or the exact place after it."""
    whole, rest = divmod(beat, 1)
    if rest == 0:
        return f"beat {whole}"
    return f"the and of {whole}" if rest == Fraction(1, 2) else f"beat {whole} and {rest}"


def count(number: int, word: str) -> str:
    """Write a number of things."""
    return f"{number} {word}" + ("" if number == 1 else "s")
