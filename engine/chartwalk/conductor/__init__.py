"""The conductor: what the player wants of a session, as what the metronome plays, and what was."""

from chartwalk.conductor.conductor import Conductor
from chartwalk.conductor.ledger import Done

__all__ = ["Conductor", "Done"]
