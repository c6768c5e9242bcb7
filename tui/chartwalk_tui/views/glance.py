"""The week and the month in lines."""

from collections.abc import Iterator

from chartwalk.trouble import Glance, Review, Spot, place_words
from chartwalk_tui.printable import count


def days_line(glance: Glance) -> str:
    """Name the days that the row of minutes begins and ends with, and the longest one."""
    day, most = max(glance.minutes, key=lambda item: item[1])
    longest = f"; most on {day.day} {day:%b}: {count(round(most), 'minute')}" if round(most) else ""
    return f"from {glance.first.day} {glance.first:%b} to today{longest}"


def glance_lines(found: Review, glance: Glance) -> Iterator[str]:
    """Yield what else there is to tell."""
    titles = {record.id: record.title for record in found.records.songs}
    songs = ", ".join(titles[song] for song in glance.songs if song in titles)
    yield f"songs    {songs or 'none yet'}"
    yield f"marks    {glance.marks}"
    for gain in glance.gained:
        tempos = f"{float(gain.before):.0f} to {float(gain.after):.0f}"
        yield f"faster   {_named(found, gain.spot)}: {tempos}"
    for spot in glance.healed:
        yield f"healed   {_named(found, spot)}"
    if not (glance.gained or glance.healed):
        yield f"healed   nothing yet: {count(len(found.due), 'spot')} due in the Log"


def _named(found: Review, spot: Spot) -> str:
    song = found.songs[spot.song]
    return f"{song.chart.title}, {place_words(song, spot)}"
