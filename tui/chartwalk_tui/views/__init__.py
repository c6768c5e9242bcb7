"""From a practice session to the values that the widgets of the Stand draw. No rule of music."""

from chartwalk_tui.views.bar import Numerals, bar_view, count_in_view
from chartwalk_tui.views.chords import chord_next, chord_now, chord_shown, keys_of, lit_keys
from chartwalk_tui.views.keys import guess_words, key_heard
from chartwalk_tui.views.lines import song_line, where_line
from chartwalk_tui.views.road import road_view
from chartwalk_tui.views.words import (
    bar_words,
    bars_words,
    chordless_words,
    depth_words,
    guide_words,
    key_words,
    loop_words,
    news,
    no_bar_words,
    passage_words,
)

__all__ = [
    "Numerals",
    "bar_view",
    "bar_words",
    "bars_words",
    "chord_next",
    "chord_now",
    "chord_shown",
    "chordless_words",
    "count_in_view",
    "depth_words",
    "guess_words",
    "guide_words",
    "key_heard",
    "key_words",
    "keys_of",
    "lit_keys",
    "loop_words",
    "news",
    "no_bar_words",
    "passage_words",
    "road_view",
    "song_line",
    "where_line",
]
