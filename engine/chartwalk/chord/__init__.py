"""Chord symbols: the letters as written, the palette of spelled notes they ask for, and why."""

from chartwalk.chord.degree import Degree
from chartwalk.chord.motion import Motion, motion
from chartwalk.chord.palette import Palette, Tone, Use
from chartwalk.chord.symbol import ChordError, ChordSymbol

__all__ = ["ChordError", "ChordSymbol", "Degree", "Motion", "Palette", "Tone", "Use", "motion"]
