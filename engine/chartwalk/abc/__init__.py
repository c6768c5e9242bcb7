"""Reading ABC tunes and tunebooks, straight from the standard (ABC 2.1, December 2011).

The tune becomes the chart's tune, its quoted chord symbols the chords, ``w:`` lines the words;
repeats, endings, decorations such as ``!D.C.!`` and the order of parts become the road. Files in
the wild are read liberally, and every mend is told in a warning with its line and column. Nothing
but ChartError is raised for bad input.

A tune of a book is named ``book.abc#12``, by the number of its ``X:`` field.
"""

from pathlib import Path
from typing import Final

from chartwalk.abc.book import Book, Tune, book, located
from chartwalk.abc.build import build, lead_voice
from chartwalk.abc.text import decode
from chartwalk.abc.told import Told
from chartwalk.abc.tune import read_tune
from chartwalk.abc.voice import MOST_BARS, TooLongError
from chartwalk.mending.texts import one_line
from chartwalk.problems import ChartError, Problem
from chartwalk.reading import Reading

__all__ = ["loads", "located", "read", "tunes"]

MAX_BYTES: Final = 32 * 1024 * 1024


def read(path: Path, number: int | None = None) -> Reading:
    """Read a tune of a file; raise ChartError where there is none, or OSError.

    The number may also stand in the path: ``book.abc#12``. Without one the first tune is read.
    """
    file, named = located(path)
    return loads(_text(file), str(file), named if number is None else number)


def tunes(path: Path) -> list[tuple[int, str]]:
    """Return the number and title of every tune of a file, without reading their music."""
    file, _ = located(path)
    found = book(_text(file)).tunes
    return [(tune.number, tune.title or _untitled(file, tune)) for tune in found]


def _text(file: Path) -> str:
    with file.open("rb") as opened:
        data = opened.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        message = f"the file is larger than {MAX_BYTES // 1024**2} MB: no tunebook is"
        raise ChartError([Problem(message, str(file))])
    return decode(data)


def loads(text: str, file: str = "", number: int | None = None) -> Reading:
    r"""Read a tune of a text; ``file`` stands in messages, and for a title that is missing.

    >>> reading = loads('X:1\nT:Ebb\nM:3/4\nK:G\nD|"G"G2B d2B|"D7"A3-A2:|')
    >>> [str(change.symbol) for bar in reading.chart.bars for change in bar.changes]
    ['G', 'D7']
    """
    whole = book(text)
    tune = _chosen(whole, file, number)
    told = Told(file)
    if number is None and len(whole.tunes) > 1:
        told.tell(f"the first of {len(whole.tunes)} tunes: open another as FILE#NUMBER", 1, 1)
    if not whole.marked:
        told.tell("no X: field: the file is read as one tune", 1, 1)
    try:
        return _read(whole, tune, told, file)
    except TooLongError as error:
        message = f"more than {MOST_BARS} bars: no tune is that long"
        raise _error(message, tune, file) from error


def _read(whole: Book, tune: Tune, told: Told, file: str) -> Reading:
    reader = read_tune(whole, tune, told)
    if not reader.in_body:
        raise _error("no K: field: the music of a tune begins after its key", tune, file)
    voice = lead_voice(reader)
    if voice is None:
        raise _error("this tune has no notes: write music after the K: field", tune, file)
    titles = (title for title in reader.texts["title"] if title)
    return build(reader, voice, next(titles, _untitled(Path(file), tune)))


def _untitled(file: Path, tune: Tune) -> str:
    return one_line(f"{file.stem} {tune.number}")


def _error(message: str, tune: Tune, file: str) -> ChartError:
    return ChartError([Problem(message, file, tune.start, 1)])


def _chosen(whole: Book, file: str, number: int | None) -> Tune:
    if not whole.tunes:
        message = "no tune: it begins with X:1 and its music follows the K: field"
        raise ChartError([Problem(message, file, 1, 1)])
    if number is None:
        return whole.tunes[0]
    for tune in whole.tunes:
        if tune.number == number:
            return tune
    numbers = [tune.number for tune in whole.tunes]
    message = f"no tune {number}: there are {len(numbers)}, from {numbers[0]} to {numbers[-1]}"
    raise ChartError([Problem(message, file, 1, 1)])
