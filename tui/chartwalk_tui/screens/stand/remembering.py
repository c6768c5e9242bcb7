"""Each song as the player left it: key, depth, tempo and place, kept in the log."""

from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from chartwalk.arrange import Arrangement
from chartwalk.depth import Depth
from chartwalk.log import LogError
from chartwalk.practice import Session
from chartwalk.transpose import FARTHEST
from chartwalk_tui.screens.stand.base import OnTheStand

FAST, SLOW = Fraction(4), Fraction(1, 10)


class Remembering(OnTheStand):
    """Keeps what was chosen for a song."""

    def remember(self) -> None:
        """Keep how the song is played now; what the log refuses is not worth a word."""
        if not self.logged:
            return
        session = self.lasting
        chosen = {
            "shift": str(session.arrangement.shift),
            "depth": session.arrangement.depth.value,
            "scale": str(session.scale),
            "step": str(session.step),
        }
        with suppress(LogError):
            for name, value in chosen.items():
                if self.home.store.song_setting(self.logged, name) != value:
                    self.home.store.set_for_song(self.logged, name, value)

    def recall(self) -> None:
        """Play the song as the player left it."""
        if not self.logged:
            return
        with suppress(LogError):
            kept = {
                name: self.home.store.song_setting(self.logged, name)
                for name in ("shift", "depth", "scale", "step")
            }
            self.session = recalled(self.session, {k: v for k, v in kept.items() if v})


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
