"""The Stand: the screen to practise on."""

from chartwalk_tui.screens.stand.screen import Errand, Stand

__all__ = ["Errand", "Stand"]
