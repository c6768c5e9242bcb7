"""The app: it wires screens, log and metronome together."""

from chartwalk_tui.app.app import ChartwalkApp

__all__ = ["ChartwalkApp"]
