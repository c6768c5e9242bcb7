"""Every action of every screen: the one table behind keys, footer, help and command list."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Action:
    """What a key does.

    ``name`` is that of the method without ``action_``: the screen's, or the app's after ``app.``.
    ``label`` is the word in the footer, ``help`` the sentence in the help. ``rank`` orders the
    footer: the lower the longer it stays where there is little room; 0 never shows there.
    """

    name: str
    keys: tuple[str, ...]
    label: str
    help: str
    rank: int = 0


SHOWN: Final = {
    "space": "space", "right": "→", "left": "←", "down": "↓", "up": "↑", "pagedown": "PgDn",
    "pageup": "PgUp", "home": "Home", "end": "End", "minus": "-", "equals_sign": "=",
    "plus": "+", "comma": ",", "full_stop": ".", "question_mark": "?", "enter": "Enter",
    "escape": "Esc", "ctrl+c": "Ctrl+C",
}  # fmt: skip
"""How keys are written for the player, where their names differ."""

HELP: Final = Action("app.help", ("question_mark",), "help", "this help: what the screen is for", 2)
QUIT: Final = Action(
    "app.quit", ("q", "ctrl+c"), "quit", "leave chartwalk; the log is already kept", 9
)
LOG: Final = Action("app.log", ("t",), "log", "the Log: your trouble marks", 8)
SHELF: Final = Action("app.shelf", ("o",), "songs", "the Shelf: open another song", 9)
SETUP: Final = Action("app.setup", ("i",), "setup", "Setup: where the click sounds")
CLOSE: Final = Action("close", ("escape",), "back", "back to where you were", 1)

SYMBOL: Final = Action("symbol", ("c",), "chord", "the Symbol screen: the chord now in full", 10)
SOUND: Final = Action("sound", ("s",), "sound", "sound the chord")
DEPTH: Final = Action("depth", ("d",), "depth", "the next depth: written, lean, plain", 11)
VOICE: Final = Action("voice", ("v",), "voice", "the Voice screen: the key that suits a singer", 12)
ROAD: Final = Action("road", ("w",), "road", "the Road screen: the whole song and its path", 13)
NUMERALS: Final = Action(
    "numerals", ("n",), "numerals", "Roman numerals under the chords; again: none"
)
KEY_DOWN: Final = Action("key_down", ("comma",), "key down", "the song a semitone down")
KEY_UP: Final = Action("key_up", ("full_stop",), "key up", "the song a semitone up")

RUN: Final = Action("run", ("r",), "run", "run with the click, counted in; again: stop", 3)
SLOWER: Final = Action("slower", ("minus",), "slower", "one metronome mark slower")
FASTER: Final = Action("faster", ("equals_sign", "plus"), "faster", "one metronome mark faster")
MARK: Final = Action("mark", ("m",), "mark", "mark trouble here; it is in the log at once", 4)

STAND: Final = (
    Action("next_bar", ("space", "right", "pagedown"), "next bar",
           "next bar, in the order it is played (a page-turn pedal works)", 1),
    Action("previous_bar", ("left", "pageup"), "back", "one bar back", 6),
    Action("next_change", ("down",), "change", "next change of chord", 7),
    Action("previous_change", ("up",), "change back", "the change before"),
    RUN, SLOWER, FASTER, MARK, HELP, QUIT,
    Action("first", ("home",), "start", "to the start of the song"),
    Action("last", ("end",), "end", "to the last bar"),
    Action("go_to_bar", ("g",), "go to bar", "go to a bar by its printed number"),
    Action("edit", ("e",), "edit", "edit the chart in your own editor; it is read again"),
    SYMBOL, SOUND, DEPTH, KEY_DOWN, KEY_UP, VOICE, NUMERALS,
    ROAD,
    LOG, SHELF, SETUP,
)  # fmt: skip

WHILE_RUNNING: Final = (
    replace(RUN, label="stop", rank=1), replace(SLOWER, rank=2), replace(FASTER, rank=3), MARK,
    replace(HELP, rank=5), replace(QUIT, rank=6),
)  # fmt: skip
"""What the footer of the Stand names while the click runs."""

SHELF_SCREEN: Final = (
    Action("open", ("enter",), "open", "open the song under the cursor", 1),
    Action("new", ("n",), "new chart", "write a new chart in your own editor", 4),
    replace(CLOSE, rank=3), LOG, SETUP, HELP, QUIT,
)  # fmt: skip

LOG_SCREEN: Final = (
    Action("go", ("enter",), "go there", "open the Stand on the marked bar", 1),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

SETUP_SCREEN: Final = (
    Action("choose", ("enter",), "choose", "let the click sound there; it is kept", 1),
    Action("look_again", ("r",), "look again", "look for ports again", 4),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

SYMBOL_SCREEN: Final = (
    Action("next_row", ("down",), "build up", "the next piece, then the neighbours", 2),
    Action("previous_row", ("up",), "take apart", "the piece before", 4),
    Action("sound", ("s",), "sound", "sound what the keyboard shows", 1),
    replace(CLOSE, keys=("escape", "c"), rank=3), HELP, QUIT,
)  # fmt: skip

VOICE_SCREEN: Final = (
    Action("take", ("enter",), "take it", "take the key under the cursor to the Stand", 1),
    Action("type_range", ("e",), "range", "type the singer's low and high note; they are kept", 4),
    Action("next_voice", ("n",), "next voice",
           "another voice: the sheet's own, then those of the handbook", 5),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

ROAD_SCREEN: Final = (
    Action("next_step", ("right", "space", "pagedown"), "next bar",
           "one bar along the road, over its jumps", 4),
    Action("previous_step", ("left", "pageup"), "bar back", "one bar back along the road", 6),
    Action("next_system", ("down",), "down", "the next row of the page", 7),
    Action("previous_system", ("up",), "up", "the row before"),
    Action("first", ("home",), "start", "to the start of the road"),
    Action("last", ("end",), "end", "to the end of the road"),
    Action("go", ("enter",), "go there", "take this place to the Stand", 1),
    replace(CLOSE, keys=("escape", "w"), help="back to the Stand, which has not moved", rank=3),
    HELP, QUIT,
)  # fmt: skip


def key_names(action: Action) -> str:
    """Write the keys of an action: ``space, →, PgDn``."""
    return ", ".join(SHOWN.get(key, key) for key in action.keys)


def bindings(actions: Sequence[Action]) -> list[BindingType]:
    """Return the bindings of a screen."""
    return [
        Binding(",".join(action.keys), action.name, action.label, show=False) for action in actions
    ]
