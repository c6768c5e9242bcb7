"""The list of commands: every action of the screen, found by plain words."""

from functools import partial
from typing import cast

from textual.command import DiscoveryHit, Hit, Hits, Provider

from chartwalk_tui.screens.room import Room


class ActionCommands(Provider):
    """Offers the actions of the screen that is open."""

    def _actions(self) -> list[tuple[str, str, partial[None]]]:
        room = self.screen
        if not isinstance(room, Room):
            return []
        return [
            (
                action.help,
                action.label,
                cast("partial[None]", partial(self._run, room, action.name)),
            )
            for action in room.ACTIONS
        ]

    @staticmethod
    async def _run(room: Room, name: str) -> None:
        await room.run_action(name)

    async def discover(self) -> Hits:
        """Offer everything while nothing is typed."""
        for sentence, _, command in self._actions():
            yield DiscoveryHit(sentence, command)

    async def search(self, query: str) -> Hits:
        """Offer what matches the words."""
        matcher = self.matcher(query)
        for sentence, label, command in self._actions():
            score = matcher.match(f"{label} {sentence}")
            if score > 0:
                yield Hit(score, matcher.highlight(sentence), command)
