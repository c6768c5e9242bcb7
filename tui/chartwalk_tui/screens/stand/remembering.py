"""Each song as the player left it: key, depth, tempo and place, kept in the log."""

from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from chartwalk.arrange import Arrangement
from chartwalk.depth import Depth
from chartwalk.log import LogError, Store
from chartwalk.practice import Session
from chartwalk.transpose import FARTHEST
from chartwalk_tui.screens.stand.base import OnTheStand

FAST, SLOW = Fraction(4), Fraction(1, 10)


class Remembering(OnTheStand):
    """Keeps what was chosen for a song."""

    def remember(self) -> None:
        """Keep how the song is played now."""
        remember(self.home.store, self.logged, self.lasting)

    def recall(self) -> None:
        """Play the song as the player left it."""
        self.session = recall(self.home.store, self.logged, self.session)


def remember(store: Store, logged: str, session: Session) -> None:
    """Keep how a song is played, by its id in the log; what that refuses is not worth a word."""
    if not logged:
        return
    chosen = {
        "shift": str(session.arrangement.shift),
        "depth": session.arrangement.depth.value,
        "scale": str(session.scale),
        "step": str(session.step),
    }
    with suppress(LogError):
        for name, value in chosen.items():
            if store.song_setting(logged, name) != value:
                store.set_for_song(logged, name, value)


def recall(store: Store, logged: str, session: Session) -> Session:
    """Return a session as the player left the song, by its id in the log."""
    if not logged:
        return session
    with suppress(LogError):
        kept = {
            name: store.song_setting(logged, name) for name in ("shift", "depth", "scale", "step")
        }
        return recalled(session, {name: value for name, value in kept.items() if value})
    return session


def recalled(session: Session, kept: dict[str, str]) -> Session:
    """Return a session as it was kept; what makes no sense is passed over."""
    with suppress(ValueError, KeyError):
        shift = int(kept.get("shift", "0"))
        depth = Depth(kept.get("depth", Depth.WRITTEN.value))
        if abs(shift) <= FARTHEST:
            session = session.arrange(Arrangement(shift, depth))
    with suppress(ValueError, ZeroDivisionError):
        scale = Fraction(kept.get("scale", "1"))
        if SLOW <= scale <= FAST:
            session = replace(session, scale=scale)
    with suppress(ValueError):
        session = session.at(int(kept.get("step", "0")))
    return session
