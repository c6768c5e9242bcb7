"""A page to take to a lesson: the practice at a glance and the trouble spots, as one HTML file.

It stands by itself: no script, no link, no file beside it; all text is escaped; it prints on plain
paper. Its colours reach the contrast that WCAG 2.2 asks for (1.4.3: 4.5 to 1 for text; 1.4.11:
3 to 1 for what is drawn).
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import Final

from chartwalk.song import Song
from chartwalk.trouble.figures import (
    INK,
    MUTED,
    PAPER,
    day_words,
    history_figure,
    minutes_figure,
)
from chartwalk.trouble.glance import Glance, History, history
from chartwalk.trouble.returning import spot_return
from chartwalk.trouble.spots import Spot
from chartwalk.trouble.words import (
    count_words,
    place_words,
    return_words,
    spot_words,
    tempo_words,
)

UNPRINTABLE: Final = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]+")

CAUTIONS: Final = (
    "Stop when something hurts, tingles or goes numb, or when the voice goes hoarse; rest, and ask "
    "a teacher or a doctor before you go on.",
    "Rest five minutes after 25 minutes of playing, away from the keys.",
    "Keep it soft, with headphones above all: 85 dBA is for eight hours a day at most, and every "
    "3 dB more for half as long. Ringing or dullness in the ears is a reason to stop and to ask a "
    "doctor.",
)
"""What every page says. The pause: Klickstein, The Musician's Way, p. 75; the noise: NIOSH; the
rest is common practice, no source."""

STYLE: Final = f"""
body {{ font: 16px/1.45 system-ui, sans-serif; color: {INK}; background: {PAPER};
  max-width: 46em; margin: 1.5em auto; padding: 0 1em; }}
h1 {{ font-size: 1.6em; }} h2 {{ font-size: 1.25em; margin-top: 1.6em; }}
h3 {{ font-size: 1.05em; margin-bottom: 0; }}
p {{ margin: .3em 0; }} .small {{ color: {MUTED}; }}
svg {{ width: 100%; height: auto; }} figure {{ margin: .5em 0 1em; }}
section, figure, li, article {{ break-inside: avoid; }} h2, h3 {{ break-after: avoid; }}
@page {{ margin: 15mm; }}
@media print {{ body {{ max-width: none; margin: 0; padding: 0; font-size: 11pt; }}
  svg {{ print-color-adjust: exact; -webkit-print-color-adjust: exact; }} }}
"""


@dataclass(frozen=True, slots=True)
class Period:
    """Practice over some days: the titles of its songs; what healed and got faster, a line each."""

    glance: Glance
    titles: tuple[str, ...]
    gains: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """A spot as the page tells it: the song's title, the spot in words, when it is due."""

    title: str
    words: str
    due: str
    history: History


@dataclass(frozen=True, slots=True)
class Lesson:
    """What the page is made of."""

    made: date
    periods: tuple[Period, ...]
    spots: tuple[Told, ...]


def lesson(
    today: date, songs: Mapping[str, Song], glances: Iterable[Glance], spots: Iterable[Spot]
) -> Lesson:
    """Gather what the page tells.

    ``songs`` are by their ids in the log; what belongs to others is left out, but for the minutes
    and the number of marks.
    """
    known = (spot for spot in spots if spot.song in songs)
    return Lesson(
        made=today,
        periods=tuple(_period(songs, each) for each in glances),
        spots=tuple(_told_of(songs[spot.song], spot, today) for spot in known),
    )


def _told_of(song: Song, spot: Spot, today: date) -> Told:
    due = return_words(spot_return(spot), today)
    return Told(song.chart.title, spot_words(song, spot), due, history(spot))


def _period(songs: Mapping[str, Song], glance: Glance) -> Period:
    titles = tuple(songs[song].chart.title for song in glance.songs if song in songs)
    healed = (f"{_place(songs, spot)}: healed" for spot in glance.healed if spot.song in songs)
    faster = (
        f"{_place(songs, gain.spot)}: from {tempo_words(gain.before)} to "
        f"{tempo_words(gain.after)}, goal {tempo_words(gain.spot.goal)}"
        for gain in glance.gained
        if gain.spot.song in songs
    )
    return Period(glance, titles, (*healed, *faster))


def _place(songs: Mapping[str, Song], spot: Spot) -> str:
    song = songs[spot.song]
    return f"{song.chart.title}, {place_words(song, spot)}"


def page(lesson: Lesson) -> str:
    """Write the page as HTML."""
    made = f"{day_words(lesson.made)} {lesson.made.year}"
    parts = [
        f"<h1>Practice report, {made}</h1>",
        *(_period_part(period) for period in lesson.periods),
        "<h2>Trouble spots</h2>",
        '<p class="small">Discs: the fastest clean tempo of a day, in beats a minute. Crosses: '
        "trouble marks. Dashed: the goal.</p>",
        *(_spot_part(told) for told in lesson.spots),
        *([] if lesson.spots else ["<p>None.</p>"]),
        _listed("Take care", CAUTIONS),
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Practice report, {made}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(parts)
        + "\n</body>\n</html>\n"
    )


def _period_part(period: Period) -> str:
    glance = period.glance
    practised = [day for day, minutes in glance.minutes if minutes]
    days = len(glance.minutes)
    summary = (
        f"{glance.total:.0f} minutes on {count_words(len(practised), 'day')} of {days}, "
        f"{count_words(glance.marks, 'trouble mark')}."
    )
    songs = f"<p>Songs: {'; '.join(map(_text, period.titles))}.</p>" if period.titles else ""
    gained = "".join(f"<li>{_text(gain)}</li>" for gain in period.gains)
    return (
        f"<section>\n<h2>{day_words(glance.first)} to {day_words(glance.last)}</h2>\n"
        f"<p>{summary}</p>\n{songs}\n"
        f'<figure>{minutes_figure(glance.minutes)}<figcaption class="small">Minutes by day'
        f"</figcaption></figure>\n{f'<ul>{gained}</ul>' if gained else ''}\n</section>"
    )


def _spot_part(told: Told) -> str:
    return (
        f"<article>\n<h3>{_text(told.title)}</h3>\n<p>{_text(told.words)}; {_text(told.due)}</p>\n"
        f"<figure>{history_figure(told.history)}</figure>\n</article>"
    )


def _listed(title: str, lines: Iterable[str]) -> str:
    items = "\n".join(f"<li>{_text(line)}</li>" for line in lines)
    return f"<section>\n<h2>{_text(title)}</h2>\n<ul>\n{items}\n</ul>\n</section>"


def _text(text: str) -> str:
    """Escape text, keeping its writing direction to itself, and what HTML can't hold left out."""
    return f"<bdi>{escape(UNPRINTABLE.sub(' ', text))}</bdi>"
