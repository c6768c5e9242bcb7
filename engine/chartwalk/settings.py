"""What the player can set, as one table: its words, its values, and what they mean for a run.

Settings are kept as words, so that the log tells what was chosen; a word this program does not know
counts as the default.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from chartwalk.click import Beats, Between, ClickStyle
from chartwalk.guide import VOICES, Guide, Part, Voice
from chartwalk.run import Ladder, Manner

ON, OFF = "on", "off"


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing to set: ``values`` are the words to choose from, the first one is the default.

    ``name`` is what it is kept under, ``help`` a few words for the player: no more than fit beside
    the value on a screen of 80 columns.
    """

    name: str
    label: str
    values: tuple[str, ...]
    help: str
    default: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "default", self.default or self.values[0])

    def beside(self, value: str, steps: int) -> str:
        """Return the value some steps on, or back; at the ends it stays."""
        place = self.values.index(value) + steps
        return self.values[max(0, min(place, len(self.values) - 1))]


def _words(kind: type[Beats] | type[Between]) -> tuple[str, ...]:
    return tuple(member.value for member in kind)


SWINGS: Final = {"3 to 2": "3/2", "2 to 1": "2", "5 to 2": "5/2", "3 to 1": "3"}
COUNTS: Final = {"1 bar": 1, "2 bars": 2}
GAPS: Final = {
    OFF: (1, 0), "3 on, 1 silent": (3, 1), "2 on, 2 silent": (2, 2), "4 on, 4 silent": (4, 4),
    "1 on, 3 silent": (1, 3),
}  # fmt: skip
HOLDS: Final = {
    "not longer": 0, "1 beat more": 1, "2 beats more": 2, "3 beats more": 3, "4 beats more": 4,
    "8 beats more": 8,
}  # fmt: skip
MINUTES: Final = {f"{minutes} minutes": minutes for minutes in (5, 10, 15, 20)}
STEPS: Final = {OFF: 0, "1 metronome mark": 1, "2 metronome marks": 2, "3 metronome marks": 3}
ROUNDS: Final = {
    "each clean round": (1, True), "2 clean rounds": (2, True), "3 clean rounds": (3, True),
    "each round": (1, False), "2 rounds": (2, False), "4 rounds": (4, False),
}  # fmt: skip
SOUNDS: Final = {
    "wood blocks": (76, 77, 42), "claves": (75, 37, 42), "sticks": (37, 42, 42),
    "bells": (34, 33, 33),
}  # fmt: skip
"""First beat, other beats, between: keys of percussion. The bells, 33 and 34, are of General MIDI 2
(data sheet of a GM2 chip); an instrument of level 1 may be silent there."""
VOLUMES: Final = {"soft": 64, "medium": 96, "full": 112, "loud": 127}
NO_PROGRAM: Final = "as it is"
PROGRAMS: Final = {
    NO_PROGRAM: None, "grand piano": 1, "bright piano": 2, "electric piano": 5, "harpsichord": 7,
    "organ": 17,
}  # fmt: skip
"""Programs of General MIDI level 1, counted from 1."""

CLICK_SETTINGS: Final = (
    Setting("click.beats", "Beats", _words(Beats), "which beats are struck"),
    Setting("click.between", "Between them", _words(Between), "what is struck between the beats"),
    Setting("click.swing", "Swing", tuple(SWINGS), "long to short, in swung eighths", "2 to 1"),
    Setting("click.five", "Five in a bar", ("3+2", "2+3"), "where the sheet does not say"),
    Setting(
        "click.seven", "Seven in a bar", ("2+2+3", "3+2+2", "2+3+2"), "where the sheet does not say"
    ),
    Setting("click.count", "Count-in", tuple(COUNTS), "before a run, and between rounds"),
    Setting("click.gap", "Gap click", tuple(GAPS), "no beat shows in the silent bars"),
    Setting("click.hold", "Fermata", tuple(HOLDS), "how long a run holds it", "2 beats more"),
    Setting("ladder.step", "Ladder", tuple(STEPS), "steps of a loop up to its goal"),
    Setting("ladder.after", "It climbs after", tuple(ROUNDS), "a round with a mark is not clean"),
)
"""How the click goes and how loops climb."""

DRILL_SETTINGS: Final = (
    Setting(
        "drill.row", "Clean rounds", ("2", "3", "4", "5"), "in a row, before it gets faster", "3"
    ),
    Setting("drill.minutes", "A drill lasts", tuple(MINUTES), "at most", "10 minutes"),
    Setting("drill.fuller", "Fuller by steps", (OFF, ON), "plain, lean, written, then sung"),
)
"""How drills go."""


def _part_settings(part: Part) -> tuple[Setting, ...]:
    name, title, voice = part.name.lower(), part.value.capitalize(), VOICES[part]
    volumes = tuple(VOLUMES)
    channels = tuple(map(str, range(1, 17)))
    return (
        Setting(f"guide.{name}", title, (OFF, ON), "played along with a run"),
        Setting(f"guide.{name}.volume", "  volume", volumes, "how loud it is", "medium"),
        Setting(f"guide.{name}.program", "  sound", tuple(PROGRAMS), "its General MIDI program"),
        Setting(
            f"guide.{name}.channel", "  channel", channels, "its MIDI channel",
            str(voice.channel),
        ),
    )  # fmt: skip


SOUND_SETTINGS: Final = (
    Setting("click.audible", "Click", (ON, OFF), "whether the click sounds"),
    Setting("click.volume", "  volume", tuple(VOLUMES), "keep it modest", "medium"),
    Setting("click.sound", "  sound", tuple(SOUNDS), "keys of percussion, channel 10"),
    *(setting for part in Part for setting in _part_settings(part)),
    Setting("midi.clock", "MIDI clock", (OFF, ON), "for a drum machine to follow"),
    Setting(
        "offset", "Sound comes after", tuple(f"{ms} ms" for ms in range(0, 305, 5)),
        "the beat on screen waits so long",
    ),
)  # fmt: skip
"""How everything sounds."""

FORWARD: Final = {"next bar": "next_bar", "next change": "next_change", "run or stop": "run",
                  "mark": "mark"}  # fmt: skip
BACKWARD: Final = {"bar back": "previous_bar", "change back": "previous_change",
                   "run or stop": "run", "mark": "mark"}  # fmt: skip
PEDAL_SETTINGS: Final = (
    Setting("pedal.forward", "Right pedal", tuple(FORWARD), "what sends PageDown"),
    Setting("pedal.back", "Left pedal", tuple(BACKWARD), "what sends PageUp"),
)
"""What the pedals do."""

LOOK_SETTINGS: Final = (
    Setting(
        "look.colours", "Colours", ("harbour", "daylight", "beacon", "ink"),
        "dark, light, high contrast, none",
    ),
    Setting("look.signs", "Signs", ("♯ ♭", "plain ASCII"), "# b for terminals without ♯ ♭"),
)  # fmt: skip
"""How the screens look."""

SETTINGS: Final = {
    setting.name: setting
    for group in (CLICK_SETTINGS, DRILL_SETTINGS, SOUND_SETTINGS, PEDAL_SETTINGS, LOOK_SETTINGS)
    for setting in group
}


@dataclass(frozen=True, slots=True)
class Settings:
    """What the player chose, by name; what is missing or unknown is the default."""

    chosen: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def kept(cls, read: Callable[[str], str | None]) -> "Settings":
        """Return the settings that are kept somewhere, read one by one."""
        found = {name: read(name) for name in SETTINGS}
        return cls({name: value for name, value in found.items() if value is not None})

    def __getitem__(self, name: str) -> str:
        setting = SETTINGS[name]
        value = self.chosen.get(name, setting.default)
        return value if value in setting.values else setting.default

    def having(self, name: str, value: str) -> "Settings":
        """Return the settings with another value for one of them."""
        return Settings({**self.chosen, name: value})

    @property
    def click(self) -> ClickStyle:
        """The click."""
        first, beat, off = SOUNDS[self["click.sound"]]
        sounding, silent = GAPS[self["click.gap"]]
        groups = (self["click.five"], self["click.seven"])
        return ClickStyle(
            beats=Beats(self["click.beats"]),
            between=Between(self["click.between"]),
            swing=Fraction(SWINGS[self["click.swing"]]),
            groups=tuple(tuple(map(int, group.split("+"))) for group in groups),
            count_in=COUNTS[self["click.count"]],
            sounding=sounding,
            silent=silent,
            hold=HOLDS[self["click.hold"]],
            first=first,
            beat=beat,
            off=off,
            volume=VOLUMES[self["click.volume"]],
            audible=self["click.audible"] == ON,
        )

    @property
    def guide(self) -> Guide:
        """The guide."""
        parts = frozenset(part for part in Part if self[f"guide.{part.name.lower()}"] == ON)
        return Guide(parts, {part: self._voice(part) for part in Part})

    @property
    def manner(self) -> Manner:
        """How a run is played."""
        return Manner(self.click, self.guide, self["midi.clock"] == ON)

    @property
    def ladder(self) -> Ladder:
        """How loops climb."""
        rounds, clean = ROUNDS[self["ladder.after"]]
        return Ladder(STEPS[self["ladder.step"]], rounds, clean)

    @property
    def offset(self) -> float:
        """How many seconds the sound comes after the clock sends it."""
        return int(self["offset"].removesuffix(" ms")) / 1000

    @property
    def clean_rounds(self) -> int:
        """How many clean rounds in a row lead a drill on."""
        return int(self["drill.row"])

    @property
    def drill_minutes(self) -> int:
        """How long a drill lasts at most."""
        return MINUTES[self["drill.minutes"]]

    @property
    def fuller(self) -> bool:
        """Whether a drill climbs in fullness too."""
        return self["drill.fuller"] == ON

    @property
    def forward(self) -> str:
        """The action of the right pedal."""
        return FORWARD[self["pedal.forward"]]

    @property
    def back(self) -> str:
        """The action of the left pedal."""
        return BACKWARD[self["pedal.back"]]

    def toggled(self, part: Part) -> "Settings":
        """Return the settings with a part of the guide turned on, or off."""
        name = f"guide.{part.name.lower()}"
        return self.having(name, OFF if self[name] == ON else ON)

    def _voice(self, part: Part) -> Voice:
        name = f"guide.{part.name.lower()}"
        return replace(
            VOICES[part],
            channel=int(self[f"{name}.channel"]),
            program=PROGRAMS[self[f"{name}.program"]],
            volume=VOLUMES[self[f"{name}.volume"]],
        )
