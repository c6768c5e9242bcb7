"""One chord in full: the stops at which the keyboard shows it growing, and its neighbours."""

from dataclasses import dataclass, replace

from chartwalk.chord import ChordSymbol, Motion, Palette, Use, motion
from chartwalk.chord.relatives import neighbours, other_spellings
from chartwalk.song import Song
from chartwalk_tui.printable import count
from chartwalk_tui.views.chords import letters_of, move_words, names_of
from chartwalk_tui.widgets.chord_now import ChordLetters
from chartwalk_tui.widgets.study import StudyRow

MOST_BARS = 24  # bar numbers in one line


@dataclass(frozen=True, slots=True)
class Stop:
    """A place for the cursor: its row, and the chord or the part of it that it shows."""

    row: StudyRow
    letters: ChordLetters
    palette: Palette


def stops_of(symbol: ChordSymbol) -> tuple[Stop, ...]:
    """Return the pieces of a symbol from left to right, then its neighbours."""
    return (*_pieces(symbol), *_neighbours(symbol))


def _pieces(symbol: ChordSymbol) -> list[Stop]:
    stops: list[Stop] = []
    written = ""
    for piece in symbol.pieces:
        written += piece.display
        if piece.line:
            row = StudyRow(piece.display, piece.line)
            palette = symbol.palette_after(piece)
            stops.append(Stop(row, _letters(symbol, written), palette))
    spare = [tone for tone in symbol.palette.tones if tone.use is Use.LEFT_OUT]
    told = "; ".join(f"{tone.name}, the {tone.degree.label}" for tone in spare)
    if told:
        row = StudyRow("[ ]", f"usually left out: {told}")
        stops.append(Stop(row, letters_of(symbol), symbol.palette))
    return stops


def _letters(symbol: ChordSymbol, written: str) -> ChordLetters:
    """Return what has been read so far as big letters."""
    whole = letters_of(symbol)
    if written == symbol.display:
        return whole
    return ChordLetters(whole.root, written[len(whole.root) :])


def _neighbours(symbol: ChordSymbol) -> list[Stop]:
    stops = []
    for place, other in enumerate(neighbours(symbol)):
        way = motion(symbol.palette, other.palette)
        moves = move_words(_without_bass(way, symbol)) or f"as {symbol} sounds here"
        line = f"{names_of(other.palette)}   {moves}"
        heading = "" if place else "Compare by ear"
        stops.append(Stop(StudyRow(other.display, line, heading), letters_of(other), other.palette))
    return stops


def _without_bass(way: Motion, symbol: ChordSymbol) -> Motion:
    """Leave out of a way what the bass plays all the same."""
    key = symbol.bass and symbol.bass.pitch_class
    return replace(
        way,
        joins=tuple(name for name in way.joins if name.pitch_class != key),
        leaves=tuple(name for name in way.leaves if name.pitch_class != key),
    )


def also_written(symbol: ChordSymbol) -> str:
    """Say how else the symbol is written."""
    return "  ".join(other_spellings(symbol)) or "no other way in use"


def where_else(song: Song, symbol: ChordSymbol) -> str:
    """Say in which bars of a song the chord comes."""
    found = song.bars_with(symbol)
    numbers = [song.bars[index].number for index in found]
    more = " …" if len(numbers) > MOST_BARS else ""
    return f"{count(len(found), 'bar')}: {' '.join(numbers[:MOST_BARS])}{more}"
