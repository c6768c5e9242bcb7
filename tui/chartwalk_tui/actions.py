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
    "left_square_bracket": "[", "right_square_bracket": "]",
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

PLAN: Final = Action("app.plan", ("p",), "plan", "a plan for the minutes you have")

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
LOOP: Final = Action("loop", ("l",), "loop", "loop the passage, or the section; again: stop", 5)
MARK: Final = Action("mark", ("m",), "mark", "mark trouble here; it is in the log at once", 4)

MORE: Final = Action("more", ("right",), "more", "the next value", 5)
LESS: Final = Action("less", ("left",), "less", "the value before", 5)

STAND: Final = (
    Action("next_bar", ("space", "right"), "next bar",
           "next bar, in the order it is played", 1),
    Action("previous_bar", ("left",), "back", "one bar back", 6),
    Action("pedal_forward", ("pagedown",), "pedal",
           "the right page-turn pedal: next bar, or what Setup says"),
    Action("pedal_back", ("pageup",), "left pedal",
           "the left page-turn pedal: one bar back, or what Setup says"),
    Action("next_change", ("down",), "change", "next change of chord", 7),
    Action("previous_change", ("up",), "change back", "the change before"),
    RUN, LOOP,
    Action("passage_start", ("left_square_bracket",), "from here",
           "the passage begins here; again: no passage"),
    Action("passage_end", ("right_square_bracket",), "to here",
           "the passage ends here"),
    Action("listen", ("f",), "hear it", "hear the passage once, with the guide, before you play"),
    SLOWER, FASTER,
    Action("tap", ("b",), "tap", "tap the tempo: b on every beat"),
    Action("chords_part", ("1",), "chords along", "the guide plays the chords in a run, or not"),
    Action("bass_part", ("2",), "bass along", "the guide plays the bass, or not"),
    Action("tune_part", ("3",), "tune along", "the guide plays the tune, or not"),
    Action("app.click", ("k",), "click", "the Click screen: beats, gaps, fermatas, the ladder"),
    MARK,
    Action("mark_words", ("M",), "say more", "mark trouble here, and write a word about it"),
    Action("unmark", ("u",), "take back", "take the last mark back"),
    HELP, QUIT,
    Action("first", ("home",), "start", "to the start of the song"),
    Action("last", ("end",), "end", "to the last bar"),
    Action("go_to_bar", ("g",), "go to bar", "go to a bar by its printed number"),
    Action("edit", ("e",), "edit", "edit the chart in your own editor; it is read again"),
    SYMBOL, SOUND,
    Action("arpeggio", ("a",), "arpeggio", "sound the chord note by note"),
    DEPTH, KEY_DOWN, KEY_UP, VOICE, NUMERALS,
    ROAD,
    LOG, PLAN, SHELF, SETUP,
)  # fmt: skip

STAND_KEYS: Final = {key: action.name for action in STAND for key in action.keys}
"""What each key of the Stand does."""

WHILE_RUNNING: Final = (
    replace(RUN, label="stop", rank=1), replace(SLOWER, rank=2), replace(FASTER, rank=3), MARK,
    replace(HELP, rank=5), replace(QUIT, rank=6),
)  # fmt: skip
"""What the footer of the Stand names while the click runs."""

WHILE_LOOPING: Final = (replace(LOOP, label="stop", rank=1), *WHILE_RUNNING[1:])
"""What it names while a passage goes round."""

SHELF_SCREEN: Final = (
    Action("open", ("enter",), "open", "open the song under the cursor", 1),
    Action("new", ("n",), "new chart", "write a new chart in your own editor", 4),
    replace(CLOSE, rank=3), LOG, SETUP, HELP, QUIT,
)  # fmt: skip

LOG_SCREEN: Final = (
    Action("drill", ("enter",), "drill", "drill the spot: a loop that starts slow and climbs", 1),
    Action("go", ("g",), "go there", "open the Stand on the spot", 4),
    Action("song", ("f",), "song", "the spots of one song after the other, then of all"),
    Action("kind", ("k",), "kind", "the spots of one kind after the other, then of all"),
    Action("age", ("a",), "age", "spots marked today, this week, this month, ever"),
    Action("glance", ("w",), "week", "the week and the month at a glance", 6),
    replace(PLAN, rank=5),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

PLAN_SCREEN: Final = (
    Action("begin", ("enter",), "begin", "begin this part of the plan", 1),
    Action("other", ("p",), "other plan", "ask for the minutes again", 4),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

GLANCE_SCREEN: Final = (
    replace(CLOSE, keys=("escape", "w"), rank=3), HELP, QUIT,
)  # fmt: skip

SETUP_SCREEN: Final = (
    Action("choose", ("enter",), "choose", "send the sound there, or take the next value", 1),
    MORE, LESS,
    Action("test_note", ("s",), "test note", "sound a note where the sound goes", 2),
    Action("look_again", ("l",), "look again", "look for outputs now; it also happens by itself"),
    replace(RUN, help="run or stop the song, to hear a change", rank=6),
    replace(CLOSE, rank=3), HELP, QUIT,
)  # fmt: skip

CLICK_SCREEN: Final = (
    Action("choose", ("enter",), "next value", "the next value of the line under the cursor", 1),
    MORE, LESS,
    replace(RUN, help="run or stop the song, to hear a change", rank=4),
    replace(CLOSE, keys=("escape", "k"), rank=3), HELP, QUIT,
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
