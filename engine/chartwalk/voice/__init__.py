"""The key for a singer: what a tune asks of a voice, and which key suits the voice best."""

from chartwalk.voice.ranking import KeyFit, rank_keys
from chartwalk.voice.singer import SOURCE, VOICE_TYPES, SingerRange, sheet_range
from chartwalk.voice.sung import SungNote, Tessitura, strain, sung_notes, tessitura, time_outside
from chartwalk.voice.words import (
    CAUTION,
    advice,
    middle_words,
    move_words,
    octave_words,
    outcome,
    strain_words,
)

__all__ = [
    "CAUTION",
    "SOURCE",
    "VOICE_TYPES",
    "KeyFit",
    "SingerRange",
    "SungNote",
    "Tessitura",
    "advice",
    "middle_words",
    "move_words",
    "octave_words",
    "outcome",
    "rank_keys",
    "sheet_range",
    "strain",
    "strain_words",
    "sung_notes",
    "tessitura",
    "time_outside",
]
