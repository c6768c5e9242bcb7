"""Reading one tune: its header and its body, line by line, into voices and words.

Source: ABC 2.1 chapters 2 and 3 (lines and fields), 4 (music), 5 (words), 7 (voices). Directives
(``%%``), ``I:`` and macros (``m:``) have no bearing on a lead sheet and are passed over, but for
``propagate-accidentals``.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from chartwalk.abc import signs
from chartwalk.abc.book import Book, Line, Tune
from chartwalk.abc.fields import default_unit, near_meter, read_meter, read_tempo, read_unit
from chartwalk.abc.key import read_key
from chartwalk.abc.lyrics import MOST_VERSES, lay, notes_for, pieces
from chartwalk.abc.music import Music
from chartwalk.abc.text import text_string, without_comment
from chartwalk.abc.told import Told
from chartwalk.abc.voice import SCOPES, Force, Voice
from chartwalk.mending.texts import one_line, quoted
from chartwalk.mending.words import feel_word

_FIELD: Final = re.compile(r"([A-Za-z+]):(.*)", re.S)
_MUSIC_AFTER: Final = re.compile(r"[A-Ga-gxyzXYZ]:[|:\]\d]|[A-Ga-gxyz]:\s*$")
_DIRECTIVE: Final = re.compile(r"(?:%%|I:)\s*propagate-accidentals\s+(\w+)")
_BLOCK: Final = re.compile(r"%%\s*begin(\w+)")
_VOICE: Final = re.compile(r"\s*(\S+)(.*)")
_OCTAVE: Final = re.compile(r"\boctave=([+-]?\d)\b")
DEFAULT_VOICE: Final = ""
_HELD: Final = {"K": ("key", "alters"), "L": ("unit",), "M": ("meter",), "Q": ("tempo", "feel")}
TEXTS: Final = {"T": "title", "C": "composer", "O": "origin", "N": "note", "W": "words"}


class TuneReader:
    """What is known of a tune so far; `read_tune` fills it."""

    def __init__(self, told: Told, strict: bool) -> None:
        self.told = told
        self.strict = strict
        self.force = Force()
        self.unit: Fraction | None = None
        self.letters = dict(signs.LETTERS)
        self.texts: dict[str, list[str]] = {name: [] for name in TEXTS.values()}
        self.order: tuple[str, Line] | None = None
        self.tempo: tuple[str, Line] | None = None
        self.voices: dict[str, Voice] = {}
        self.octaves: dict[str, int] = {}
        self.current = DEFAULT_VOICE
        self.part: str | None = None  # the part that voices begin with
        self.music = Music(self)
        self.in_body = False
        self.keyed = False  # whether a key is named
        self.verse = 0  # how many lines of words followed the last line of music

    @property
    def voice(self) -> Voice:
        """The voice that is being read."""
        if self.current not in self.voices:
            voice = self.voices[self.current] = Voice(self.current, self.force)
            voice.force.octave += self.octaves.get(self.current, 0)
            voice.part = self.part
        return self.voices[self.current]

    def tell(self, message: str, line: Line, column: int = 1) -> None:
        """Add a warning."""
        self.told.tell(message, line.number, column)

    # Fields

    def header_field(self, name: str, value: str, line: Line) -> None:
        """Take in a field of the header (3.1)."""
        text = without_comment(value)
        if name in TEXTS:
            self.texts[TEXTS[name]].append(text_string(text))
        elif name == "P":
            self.order = one_line(text), line
        elif name == "Q":
            self.tempo = text, line
        elif name == "V":
            self._define_voice(text)
        elif name == "K":
            self._end_header(text, line)
        else:
            self.setting(name, text, line)

    def _end_header(self, text: str, line: Line) -> None:
        self.force.unit = self.unit or default_unit(self.force.meter)
        if self.tempo:
            self.setting("Q", *self.tempo)
        self.setting("K", text, line)
        self.in_body = True

    def body_field(self, name: str, value: str, line: Line) -> None:
        """Take in a line of the body that is a field (3.2)."""
        text = without_comment(value)
        if name == "w":
            self._words(text, line)
            return
        self.verse = 0
        if name == "V":
            self.switch_voice(text)
        elif name in "PT":
            self.part = text_string(text)
            for voice in self.voices.values():
                voice.end()
                voice.begin_part(self.part)
        elif name in TEXTS:
            self.texts[TEXTS[name]].append(text_string(text))
        elif name in "KLMQ":
            before = self.force.octave
            self.setting(name, text, line)
            for voice in self.voices.values():
                for what in _HELD[name]:
                    setattr(voice.force, what, getattr(self.force, what))
                if self.force.octave != before:
                    voice.force.octave = self.force.octave
        else:
            self.setting(name, text, line)

    def inline_field(self, name: str, value: str, line: Line, column: int) -> None:
        """Take in a field within a line of music (3.2); it holds for its voice."""
        if name == "V":
            self.switch_voice(value)
        elif name == "P":
            self.voice.begin_part(text_string(value))
        else:
            self.setting(name, value, line, self.voice.force, column)

    def setting(
        self, name: str, text: str, line: Line, force: Force | None = None, column: int = 1
    ) -> None:
        """Change what is in force: K, L, M, Q, U; other fields are passed over."""
        force = force or self.force
        try:
            if name == "M":
                self._meter(text, force, line)
            elif name == "L":
                force.unit = self.unit = read_unit(text)
            elif name == "Q":
                self._tempo(text, force, line)
            elif name == "K":
                self._key(text, force, line)
            elif name == "U" and (symbol := signs.user_symbol(text)):
                self.letters[symbol[0]] = symbol[1]
            elif name == "m":
                self.tell("macros (m:) are not read", line, column)
            elif name == "s":
                self.tell("symbol lines (s:) are not read", line, column)
            elif name == "I" and (match := _DIRECTIVE.match(f"I:{text}")):
                self.scope(match[1], force)
        except ValueError as error:
            self.tell(f"{name}: {error}; left out", line, column)

    def _meter(self, text: str, force: Force, line: Line) -> None:
        try:
            force.meter = read_meter(text)
        except ValueError:
            near = near_meter(text)
            if near is None:
                raise
            force.meter = near
            self.tell(f"M: {quoted(text.strip())} is read as {near}", line)

    def _tempo(self, text: str, force: Force, line: Line) -> None:
        tempo, words = read_tempo(text, force.unit)
        force.tempo = tempo or force.tempo
        force.feel = feel_word(words) or force.feel
        if tempo is None and words:
            self.tell(f"tempo word {quoted(words)} without a figure: left out", line)

    def _key(self, text: str, force: Force, line: Line) -> None:
        signature = read_key(text)
        if signature.key is not None:
            force.key, force.alters = signature.key, dict(signature.alters)
        self.keyed = self.keyed or signature.named
        if signature.octave is not None:
            force.octave = signature.octave
        for notice in signature.notices:
            self.tell(f"K: {notice}", line)

    def scope(self, scope: str, force: Force) -> None:
        """Set how far accidentals reach (11.3)."""
        if scope in SCOPES:
            force.scope = scope

    # Voices

    def _define_voice(self, text: str) -> None:
        match = _VOICE.match(text)
        if match and (octave := _OCTAVE.search(match[2])):
            self.octaves[match[1]] = int(octave[1])

    def switch_voice(self, text: str) -> None:
        """Go on with another voice (7.1)."""
        match = _VOICE.match(text)
        if match:
            self._define_voice(text)
            self.current = match[1]

    # Words

    def _words(self, text: str, line: Line) -> None:
        voice = self.voice
        cut = pieces(text)
        slots = notes_for(cut, voice.lines, self.strict)
        if self.verse < MOST_VERSES:
            over = lay(cut, slots, self.verse)
            if over:
                self.tell(f"{over} syllables more than notes: left out", line)
        voice.sung = True
        self.verse += 1

    def music_line(self, line: Line, joined: bool) -> bool:
        """Read a line of music; tell whether the next one continues it."""
        self.verse = 0
        return self.music.read(line, joined)


def read_tune(book: Book, tune: Tune, told: Told) -> TuneReader:
    """Read a tune of a book."""
    reader = TuneReader(told, book.strict)
    lines, stray = tune.lines()
    if stray is not None:
        told.tell("music after an empty line is no part of the tune", stray.number, 1)
    for line in (*book.head, *lines):
        if match := _DIRECTIVE.match(line.text):
            reader.scope(match[1], reader.force)
    for line in book.head:
        match = _FIELD.match(line.text)
        if match and match[1] not in "KQPV":
            reader.header_field(match[1], match[2], line)
    joined = False
    for line, text in _whole_lines(lines):
        match = _FIELD.match(text)
        if not reader.in_body:
            if match:
                reader.header_field(match[1], match[2], line)
        elif match and not _MUSIC_AFTER.match(text):
            reader.body_field(match[1], match[2], line)
        else:
            joined = reader.music_line(Line(line.number, without_comment(text)), joined)
    for voice in reader.voices.values():
        voice.end()
    return reader


def _whole_lines(lines: Iterable[Line]) -> list[tuple[Line, str]]:
    """Return the lines that say something, fields with their continuations (2.2.6, 3.3)."""
    whole: list[tuple[Line, list[str]]] = []
    block = ""
    for line in lines:
        text = line.text
        if block:
            block = "" if re.match(rf"%%\s*end{block}", text) else block
        elif match := _BLOCK.match(text):
            block = match[1]
        elif text.startswith("+:") and whole and _FIELD.match(whole[-1][1][0]):
            whole[-1][1].append(text[2:])
        elif text.strip() and not text.lstrip().startswith("%"):
            whole.append((line, [text]))
    return [(line, _joined(texts)) for line, texts in whole]


def _joined(texts: list[str]) -> str:
    return texts[0] if len(texts) == 1 else " ".join(without_comment(t).strip() for t in texts)
