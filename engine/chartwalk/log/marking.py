"""From a practice session to the mark that goes into the log."""

from datetime import UTC, datetime

from chartwalk.log.anchors import anchor_at
from chartwalk.log.records import Kind, MarkRecord, new_id
from chartwalk.practice import Session


def mark_here(session: Session, song: str, now: datetime) -> MarkRecord:
    """Return a mark on the step under way, on the chord as the sheet has it.

    ``song`` is the song's id in the log; ``now`` an aware time whose date is the player's.
    """
    bar = session.here.bar
    return MarkRecord(
        id=new_id(),
        song=song,
        anchor=anchor_at(session.written.bars, bar),
        beat=session.bar.beat_at(session.place),
        chord=_chord_at(session),
        came_from=_chord_before(session),
        pass_=session.here.pass_,
        kind=Kind.UNSAID,
        words="",
        tempo=float(session.tempo),
        goal=float(session.goal),
        time=now.astimezone(UTC),
        day=now.date(),
        bar=bar,
    )


def _chord_at(session: Session) -> str:
    symbol = session.as_written.symbol
    return symbol.text if symbol else ""


def _chord_before(session: Session) -> str:
    """Return the chord that was played before this one, as the sheet has it; empty at the start."""
    sheet = Session(session.written).at_place(session.step, session.place)
    if sheet.now.held and sheet.here.why is None:
        sheet = sheet.previous_change()  # where the chord under way began
    before = sheet.previous_change()
    moved = (before.step, before.change) != (sheet.step, sheet.change)
    return _chord_at(before) if moved else ""
