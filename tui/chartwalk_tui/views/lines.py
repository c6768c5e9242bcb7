"""The lines at the top of the Stand: the song, and where we are in it."""

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from chartwalk.depth import Depth
from chartwalk.mode import Mode
from chartwalk.practice import Session
from chartwalk.roadmap import ordinal
from chartwalk_tui.printable import count
from chartwalk_tui.views.keys import key_heard
from chartwalk_tui.views.words import bars_words
from chartwalk_tui.widgets.drawing import Span
from chartwalk_tui.widgets.text_line import Ends

if TYPE_CHECKING:
    from chartwalk.analysis import KeyGuess

BEAT_NAMES: Final = {
    Fraction(1, 2): " ♪",
    Fraction(3, 2): " ♩.",
    Fraction(2): " halves",
    Fraction(3): " dotted halves",
}
"""The notes that a tempo counts, where they are not quarters."""


def song_line(session: Session, guess: "KeyGuess | None" = None, left: int | None = None) -> Ends:
    """Return the minutes left and the title at the left; key, meter, tempo, depth at the right.

    The minutes stand first, for a long title is cut off at its end.
    """
    bar = session.bar
    tempo, goal = round(session.tempo), round(session.goal)
    unit = BEAT_NAMES.get(bar.meter.beat, "")
    pace = f"tempo {tempo}{unit}" + (f" (goal {goal})" if tempo != goal else "")
    feel = f" · {bar.feel}" if bar.feel != "straight" else ""
    key = (f"{bar.key}", "strong")
    rest = ((f"{bar.meter}", "strong"), (f"{feel} · ", "dim"), (pace, "strong"))
    depth = session.arrangement.depth
    told = ((" · ", "dim"), (f"{depth.value} ", "strong"))
    short = told if depth is not Depth.WRITTEN else ((" ", "plain"),)
    moved = moved_words(session)
    heard = key_heard(session, bar.key, guess)
    doubt = f" ({heard}?)" if heard != bar.key else "" if session.written.keyed else "?"
    signs = f" {bar.key.short_signature}".rstrip()
    return Ends(
        ((" ", "plain"), (_minutes(left), "dim"), (session.song.chart.title, "title")),
        (key, (f"{doubt or f' ({bar.key.signature})'}{moved} · ", "dim"), *rest, *told),
        (key, (f"{doubt or signs}{moved} · ", "dim"), *rest, *short),
    )


def _minutes(left: int | None) -> str:
    if left is None:
        return ""
    return f"{left} min left  " if left else "time is up: p  "


def _trouble(session: Session) -> tuple[Span, ...]:
    """Say what is wrong with the bar in the file."""
    problems = session.written.flagged.get(session.here.bar, ())
    return tuple((f"  ! {problem.message}", "mark") for problem in problems[:1])


def _passage(session: Session) -> str:
    """Say which passage is set, in the brackets that set it."""
    if session.passage is None or session.looped:
        return ""
    return f" [{bars_words(session, *session.passage).removeprefix('bar').strip('s ')}]"


def moved_words(session: Session) -> str:
    """Say how far the song stands from its written key; empty in the written one."""
    shift = session.arrangement.shift
    return f" {abs(shift)} {'up' if shift > 0 else 'down'}" if shift else ""


def where_line(session: Session, marks: int = 0) -> Ends:
    """Return where we are and the trouble marks of the bar; at the right the next jump."""
    here = session.here
    section = session.song.section_names[here.bar]
    counting = session.mode is Mode.COUNT_IN
    aside = counting or session.mode in {Mode.LISTENING, Mode.WAITING}
    place = [session.mode.value] if aside else [section] if section else []
    if session.song.rounds > 1:
        place.append(f"round {session.round + 1} of {session.song.rounds}")
    if here.pass_ > 1:
        place.append(f"{ordinal(here.pass_)} time")
    place.append(bars_words(session, session.step, session.step))
    left = (
        (" " + " · ".join(place), "plain"),
        (f" ×{marks}" if marks else "", "mark"),
        (f" · step {here.index + 1} of {len(session.song.steps)}", "plain"),
        (_passage(session), "jump"),
        *_trouble(session),
    )
    if session.looped:
        passage = bars_words(session, *session.looped)
        return Ends(left, (("loop ", "dim"), (f"{passage} · round {session.lap} ", "jump")))
    jump = session.song.jump_after(session.step)
    if jump is None:
        bars = len(session.song.steps) - 1 - session.step
        more = session.round + 1 < session.song.rounds
        last = f"last bar, then round {session.round + 2}" if more else "last bar"
        end = last if bars == 0 else f"{count(bars, 'bar')} to the end"
        return Ends(left, ((f"{end} ", "dim"),))
    bars = jump.index - session.step
    why = (f"{jump.why} ", "jump")
    when = "next: " if bars == 1 else f"in {bars} bars: "
    return Ends(left, ((when, "dim"), why), ((when.replace(" bars", ""), "dim"), why))
