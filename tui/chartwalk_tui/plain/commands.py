"""The letters of a line and what they do: those of the Stand, and some for its keys without one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from chartwalk_tui.actions import SHOWN, STAND, Action


@dataclass(frozen=True, slots=True)
class Command:
    """What a letter does: ``name`` is a method of the practice.

    ``said`` is how the letter is called, ``rest`` whether the rest of the line belongs to it.
    """

    letter: str
    name: str
    said: str
    help: str
    rest: bool = False


class UnknownLetterError(ValueError):
    """A line with a letter that does nothing here; ``letter`` is the first one."""

    def __init__(self, letter: str) -> None:
        self.letter = letter
        super().__init__(f"no command {letter!r}")


NEXT_BAR: Final = Command("", "next_bar", "Enter alone", "next bar, in the order it is played")

OWN: Final = (
    NEXT_BAR,
    Command(">", "next_bar", "greater than", "next bar; three of them: three bars on"),
    Command("<", "previous_bar", "less than", "one bar back"),
    Command("j", "next_change", "j", "next change of chord"),
    Command("J", "previous_change", "capital J", "the change before"),
    Command("A", "first", "capital A", "to the start of the song"),
    Command("Z", "last", "capital Z", "to the last bar"),
    Command("h", "here", "h", "where am I: key, tempo, bar, passage, chord, the next jump"),
    Command("x", "bar_in_full", "x", "the bar in full: its chords, its tune, its words"),
    Command("y", "toggle_bars", "y", "in a run say every bar, or sections and jumps alone"),
    Command("#", "toggle_signs", "number sign", "names with # and b, or in words; shorter to read"),
)  # fmt: skip
"""Letters for what the Stand shows all the time, and for its keys that are no letters."""

OTHERWISE: Final[Mapping[str, str]] = {
    "run": "run with the click from here, counted in; again: stop",
    "tap": "tap the tempo: b and Enter on every beat; b 96 sets it",
    "mark": "mark trouble here; mc chord, mj jump, mt tune, mr rhythm, mw words, mh hands",
    "mark_words": "mark trouble here with a word about it, such as M too late",
    "app.help": "this list, and what is known about the file",
    "go_to_bar": "go to a bar by its printed number, such as g 12",
    "edit": "read the chart again, after you edited it in your own editor",
    "symbol": "the chord now in full: each note with its degree, and why",
    "road": "the road: the whole song in the order it is played",
    "app.log": "the log: your trouble spots; t 2 drills the second one",
}
"""What the letters of the Stand do here, where there is more to say than there."""

WITH_REST: Final = frozenset({"tap", "mark", "mark_words", "go_to_bar", "app.log"})

ELSEWHERE: Final[Mapping[str, str]] = {
    "app.click": "The click keeps what was set on the Click screen; that is in the full screens.",
    "voice": "The key for a singer is told by the command: chartwalk keys FILE.",
    "numerals": "Roman numerals are shown in the full screens alone.",
    "app.plan": "The plan is in the full screens alone; t lists the spots that are due.",
    "app.shelf": "Songs are listed by the command: chartwalk songs. q leaves this one.",
    "app.setup": "Outputs are listed by: chartwalk ports. Take one with --port NAME.",
}
"""What the Stand opens that is not here, and where it is."""


def _of_the_stand() -> Iterator[Command]:
    for action in STAND:
        for key in action.keys:
            letter = SHOWN.get(key, key)
            if len(letter) == 1 and letter.isascii() and action.name not in ELSEWHERE:
                yield _command(action, key, letter)


def _command(action: Action, key: str, letter: str) -> Command:
    said = f"capital {key}" if key.isupper() else key.replace("_", " ")
    told = OTHERWISE.get(action.name, action.help)
    name = action.name.removeprefix("app.")
    return Command(letter, name, said, told, action.name in WITH_REST)


COMMANDS: Final = (*OWN, *_of_the_stand())
LETTERS: Final = {command.letter: command for command in COMMANDS}
NOT_HERE: Final = {
    key: ELSEWHERE[action.name]
    for action in STAND
    if action.name in ELSEWHERE
    for key in action.keys
}


def commands_of(line: str) -> tuple[tuple[Command, str], ...]:
    """Return the commands of a line in order, each with the rest of the line where it takes it.

    Raises UnknownLetterError at the first letter that does nothing; then nothing is to be done.

    >>> [(command.name, rest) for command, rest in commands_of("dd g 12")]
    [('depth', ''), ('depth', ''), ('go_to_bar', '12')]
    """
    return tuple(_read(line.strip())) or ((NEXT_BAR, ""),)


def _read(line: str) -> Iterator[tuple[Command, str]]:
    for place, letter in enumerate(line):
        if letter.isspace():
            continue
        command = LETTERS.get(letter)
        if command is None:
            raise UnknownLetterError(letter)
        if command.rest:
            yield command, line[place + 1 :].strip()
            return
        yield command, ""
