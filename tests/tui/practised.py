"""Marks and passes of some days ago on songs that are there, and bars played on a told clock."""

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from tests.log import planted

from chartwalk.log import MarkRecord, Store
from chartwalk.mode import Mode
from chartwalk.song import Song

if TYPE_CHECKING:
    from tests.tui.conftest import Player


def some_time_ago(days: float) -> datetime:
    """Return now, or a time so many days before noon today, whatever time it is now."""
    now = datetime.now().astimezone()
    noon = now.replace(hour=12, minute=0, second=0, microsecond=0)
    return (noon - timedelta(days=days) if days else now).astimezone(UTC)


def mark(store: Store, song: Song, bar: int, days: float = 1, **told: Any) -> MarkRecord:  # noqa: ANN401
    """Mark a bar (its index), at the goal, some days ago."""
    goal = float(song.bars[bar].tempo)
    time = some_time_ago(days)
    made = planted.mark(
        store.song(song).id, song, bar, chord="Em7", came_from="G", tempo=goal, goal=goal,
        time=time, day=time.astimezone().date(), **told,
    )  # fmt: skip
    store.mark(made)
    return made


def clean(store: Store, song: Song, span: tuple[int, int], tempo: float, days: float) -> None:
    """Play some bars without a mark, some days ago."""
    id_, time = store.song(song).id, some_time_ago(days)
    day = time.astimezone().date()
    run = planted.run(id_, time=time, day=day)
    store.run_started(run)
    goal = float(song.bars[span[0]].tempo)
    store.write_pass(
        planted.played(
            id_,
            song,
            run.id,
            span,
            tempo=tempo,
            goal=goal,
            shift=0,
            time=time,
            day=day,
            seconds=60.0,
        )
    )


async def at(player: "Player", turn: int, quarters: float = 1.5) -> None:
    """Let the clock stand in a bar of its schedule, and wait until the Stand has followed."""
    player.clock.stand_at(turn, quarters)
    playing = player.app.metronome.score.turns[turn]

    def followed() -> bool:
        stand = player.app.stand
        return (
            stand is not None
            and stand.session.step == playing.step
            and (stand.session.mode is Mode.COUNT_IN) == (playing.counted is not None)
            and stand.session.lap in {0, playing.round + 1}
        )

    await player.until(followed)


async def through(player: "Player", first: int, last: int) -> None:
    """Let the clock go through bars of its schedule, both included."""
    for turn in range(first, last + 1):
        await at(player, turn)


async def to_the_end(player: "Player") -> None:
    """Let the clock come to the end of its schedule."""
    player.clock.come_to_end()
    await player.until(lambda: player.app.stand and not player.app.stand.session.mode.moving)
