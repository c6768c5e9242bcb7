"""From a practice session to the mark that goes into the log."""

from datetime import datetime

from chartwalk.log.store import Mark
from chartwalk.practice import Session


def mark_here(session: Session, time: datetime) -> Mark:
    """Return a mark on the step under way, with its chord as written; ``time`` is in UTC."""
    symbol = session.as_written.symbol
    return Mark(
        path=session.song.identity,
        title=session.song.chart.title,
        bar=session.here.bar,
        number=session.bar.number,
        pass_=session.here.pass_,
        chord=symbol.text if symbol else "",
        tempo=float(session.tempo),
        time=time,
    )
