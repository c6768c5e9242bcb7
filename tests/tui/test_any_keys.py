"""Any keys in any order: the app never ends by itself, and every screen still answers."""

import asyncio
import tempfile
from pathlib import Path
from typing import cast

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from tests.tui.conftest import PIANO, Player, ToldClock
from tests.tui.practised import clean, mark

from chartwalk.clock.client import Clock
from chartwalk.files import open_song
from chartwalk.log import Store
from chartwalk.metronome import Metronome
from chartwalk.midi import Ports
from chartwalk_tui.actions import STAND
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.demos import demo_folder
from chartwalk_tui.screens.room import Room

SONG = demo_folder() / "lanterns-at-low-tide.lead"
NOT_HERE = {"app.quit", "edit"}  # leaving, and the player's editor
KEYS = [key for action in STAND if action.name not in NOT_HERE for key in action.keys]
PLAYING = ["r", "l", "f", "m", "minus", "equals_sign", "d", "left_square_bracket"]
key = st.sampled_from([*KEYS, *PLAYING, "enter", "enter", "escape", "escape", "1", "9"])
# The clock goes on by some bars of what it plays, or comes to the end, or is lost.
tick = st.sampled_from(["bar", "bar", "bar", "beat", "round", "end", "lost"])
evenings = st.lists(key | tick.map(lambda what: f"clock {what}"), min_size=10, max_size=45)


class Evening:
    """One evening before the app, on a clock that the test moves on."""

    def __init__(self, player: Player) -> None:
        self.player = player
        self.turn, self.quarters = 0, 0.0

    async def does(self, what: str) -> None:
        if what.startswith("clock "):
            self.moves_on(what.removeprefix("clock "))
            await self.player.pilot.pause(0.04)  # a look at the clock or two
        else:
            await self.player.press(what)
        assert self.player.app.is_running
        assert self.player.app._exception is None

    def moves_on(self, how: str) -> None:
        clock = self.player.clock
        if not clock.running:
            self.turn, self.quarters = 0, 0.0
            return
        if how == "end":
            clock.come_to_end()
        elif how == "lost":
            clock.messages.append("The clock stopped working.")
            clock.stop()
        else:
            bars = {"bar": 1, "beat": 0, "round": 5}[how]
            self.turn = min(self.turn + bars, len(clock.bars) - 1)
            self.quarters = 1.0 if how == "beat" else 0.0
            clock.stand_at(self.turn, self.quarters)

    async def ends_well(self) -> None:
        """Go back to the Stand by Esc alone; there the keys mean what they always mean."""
        app, player = self.player.app, self.player
        for _ in range(12):
            if len(player.rooms) == 1 and isinstance(app.screen, Room):
                break
            await player.press("escape")
        assert player.rooms in (["Stand"], ["Shelf"])
        if player.rooms == ["Stand"]:
            await player.press("home", "end")
            session = player.stand.session
            assert session.step == len(session.song.steps) - 1
            assert not session.mode.moving
            assert not player.clock.running
            await player.until(lambda: f"step {session.step + 1} of" in player.line("where"))


async def spend(evening: list[str], home: Path) -> None:
    store = Store.open(home)
    song = open_song(SONG)
    mark(store, song, 12, days=3)
    clean(store, song, (12, 13), 76, days=2)
    told = ToldClock()
    metronome = Metronome(look=lambda: Ports((PIANO,)), start=lambda _: cast("Clock", told))
    app = ChartwalkApp(store, lambda: metronome, song)
    async with app.run_test(size=(80, 24)) as pilot:
        player = Player(app, pilot, told)
        await player.until(lambda: told.opened)
        spent = Evening(player)
        for what in evening:
            await spent.does(what)
        await spent.ends_well()
    assert told.closed


@settings(
    max_examples=8,
    phases=(Phase.explicit, Phase.generate, Phase.shrink),
    suppress_health_check=[HealthCheck.too_slow],
)
@given(evenings)
def test_any_keys_of_the_stand(evening: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(spend(evening, Path(folder)))


@pytest.fixture(autouse=True)
def no_editor(monkeypatch: pytest.MonkeyPatch) -> None:
    """No key here may open an editor."""
    monkeypatch.setenv("EDITOR", "false")
