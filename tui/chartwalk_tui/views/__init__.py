"""From a practice session to the values that the widgets of the Stand draw. No rule of music."""

from chartwalk_tui.views.bar import bar_view, count_in_view
from chartwalk_tui.views.chords import chord_next, chord_now, letters_of, lit_keys
from chartwalk_tui.views.lines import song_line, where_line
from chartwalk_tui.views.road import road_view
from chartwalk_tui.views.words import count, news

__all__ = [
    "bar_view",
    "chord_next",
    "chord_now",
    "count",
    "count_in_view",
    "letters_of",
    "lit_keys",
    "news",
    "road_view",
    "song_line",
    "where_line",
]
