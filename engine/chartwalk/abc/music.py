"""A line of music, piece by piece, into the voice it belongs to.

Source: ABC 2.1 chapter 4; the kinds of pieces are those of `lexer`.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from chartwalk.abc import signs
from chartwalk.abc.barline import read_barline
from chartwalk.abc.book import Line
from chartwalk.abc.lexer import NOTE, Token, read_length, tokens
from chartwalk.abc.signs import Meaning
from chartwalk.mending.passes import read_passes
from chartwalk.mending.texts import one_line, quoted
from chartwalk.pitch import Pitch

if TYPE_CHECKING:
    from chartwalk.abc.tune import TuneReader

MOST_REST_BARS: Final = 999
_IN_CHORD_TEXT: Final = '"!+'


class Music:
    """Reads lines of music for a tune."""

    def __init__(self, reader: "TuneReader") -> None:
        self.reader = reader
        self.line = Line(1, "")
        self.skipping = False  # inside a voice overlay
        self.graced = False
        self.acts: dict[str, Callable[[Token], None]] = {
            "text": self._text,
            "field": self._field,
            "ending": self._ending,
            "decoration": self._decoration,
            "bar": self._bar,
            "tuplet": self._tuplet,
            "grace": self._grace,
            "chord": self._chord,
            "old": self._chord,
            "note": self._note,
            "rest": self._rest,
            "bars": self._bars,
            "broken": self._broken,
            "tie": self._tie,
            "symbol": self._symbol,
            "overlay": self._overlay,
            "unknown": self._unknown,
        }

    def read(self, line: Line, joined: bool) -> bool:
        """Read a line; tell whether a backslash continues it (6.1.1)."""
        self.line = line
        voice, begun = None, False
        continued = False
        for token in tokens(line.text):
            continued = token.kind == "continued"
            act = self.acts.get(token.kind)
            if act is None or (self.skipping and token.kind not in ("bar", "field")):
                continue
            if token.kind != "field" and (not begun or self.reader.voice is not voice):
                voice, begun = self.reader.voice, True
                voice.new_line(joined)
            self.reader.voice.at(line.number, token.column)
            act(token)
        if begun:
            self.reader.voice.end_line()
        return continued

    def _tell(self, message: str, column: int = 1) -> None:
        self.reader.told.tell(message, self.line.number, column)

    # What a text or a decoration says

    def _mean(self, meaning: Meaning, token: Token) -> None:
        voice = self.reader.voice
        if meaning.chord is not None:
            voice.chords.append(meaning.chord)
        elif meaning.sign is not None:
            voice.signs.append(meaning.sign)
        elif meaning.coda:
            voice.signs.append(None)
        elif meaning.fermata:
            voice.fermata = True
        elif meaning.times is not None:
            voice.times(meaning.times)
        elif meaning.feel is not None:
            voice.force.feel = meaning.feel
        elif meaning.problem:
            self._tell(f"{meaning.problem}: left out", token.column)
        if meaning.ignored:
            self._tell(f"text {quoted(meaning.ignored)} is left out", token.column)

    def _text(self, token: Token) -> None:
        body = token.text[1:].removesuffix('"')
        if len(token.text) < 2 or not token.text.endswith('"'):
            self._tell(f"text {quoted(one_line(body))} is never closed: left out", token.column)
            return
        self._mean(signs.text(body), token)

    def _decoration(self, token: Token) -> None:
        self._mean(signs.decoration(token.text[1:-1]), token)

    def _symbol(self, token: Token) -> None:
        name = self.reader.letters.get(token.text)
        if name:
            self._mean(signs.decoration(name), token)

    def _field(self, token: Token) -> None:
        self.reader.inline_field(
            token.text[1], token.text[3:].removesuffix("]"), self.line, token.column
        )

    # Notes

    def _note(self, token: Token) -> None:
        match = NOTE.fullmatch(token.text)
        if match is None:
            self._unknown(token)
            return
        pitch = self.reader.voice.pitch(match["sign"], match["letter"], match["octave"])
        self._add(match["length"], pitch, token)

    def _rest(self, token: Token) -> None:
        self._add(token.text[1:], None, token)

    def _add(self, length: str, pitch: Pitch | None, token: Token, times: str = "") -> None:
        """Add a note; one without a sensible length is left out."""
        try:
            units = read_length(length) * read_length(times)
        except ValueError as error:
            self._tell(f"{quoted(token.text)}: {error}; left out", token.column)
            return
        self.reader.voice.add(units, pitch, tied=False)

    def _chord(self, token: Token) -> None:
        """Add a chord in the tune: its top note is sung, its first one gives the length (4.17).

        Older files write +CEG+ for [CEG] (10.2).
        """
        inside, _, times = token.text[1:].rpartition("]" if token.text[0] == "[" else "+")
        for sign in _IN_CHORD_TEXT:
            inside = "".join(inside.split(sign)[::2])
        voice = self.reader.voice
        notes = [
            (voice.pitch(match["sign"], match["letter"], match["octave"]), match)
            for match in NOTE.finditer(inside)
        ]
        if not notes:
            self._add(inside.strip()[1:], None, token, times)
            return
        top, match = max(notes, key=lambda note: note[0])
        before = voice.last
        self._add(notes[0][1]["length"], top, token, times)
        if match["tie"] and voice.last is not before:
            voice.tie()

    def _bars(self, token: Token) -> None:
        count = int(token.text[1:4] or 1)
        if len(token.text) > 4 or not count:
            self._tell(f"{quoted(token.text)}: a rest has 1 to {MOST_REST_BARS} bars", token.column)
        self.reader.voice.rest_bars(max(1, count))

    def _tie(self, token: Token) -> None:
        if not self.reader.voice.tie():
            self._tell("a tie without a note before it: left out", token.column)

    def _broken(self, token: Token) -> None:
        if not self.reader.voice.broken(token.text):
            self._tell(f"{token.text!r} without a note before it: left out", token.column)

    def _tuplet(self, token: Token) -> None:
        numbers = [int(part) if 0 < len(part) < 3 else 0 for part in token.text[1:].split(":")]
        notes, time, count = (*numbers, 0, 0)[:3]
        if notes < 2:
            self._tell(f"{quoted(token.text)} is no tuplet: write (3abc or (p:q:r", token.column)
            return
        self.reader.voice.tuplet(notes, time or None, count or None)

    def _grace(self, token: Token) -> None:
        if not self.graced:
            self._tell("grace notes are left out", token.column)
        self.graced = True

    # Bars

    def _bar(self, token: Token) -> None:
        self.skipping = False
        self.reader.voice.barline(read_barline(token.text))

    def _ending(self, token: Token) -> None:
        passes = read_passes(token.text)
        if not passes:
            self._tell(f"{quoted(token.text)} is no ending: write [1, [2 or [1,3", token.column)
        else:
            self.reader.voice.ending(passes)

    def _overlay(self, token: Token) -> None:
        self.skipping = True
        self._tell("a second voice in the bar (&) is left out", token.column)

    def _unknown(self, token: Token) -> None:
        if token.text == ":" and self.reader.voice.last is None:  # a |: cut by a line's end
            self.reader.voice.barline(read_barline("|:"))
            return
        self._tell(f"{quoted(token.text)} is no music: left out", token.column)
