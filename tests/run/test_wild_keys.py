"""Any keys in any order for a minute: nothing raises, nothing hangs, and the place is right."""

from dataclasses import dataclass, field
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.run.desk import Desk, song_of

from chartwalk.guide import Part
from chartwalk.mode import Mode
from chartwalk.settings import CLICK_SETTINGS, SOUND_SETTINGS, Setting

MINUTE = 60.0
TUNE = 4  # the channel of the tune, from 1
SOON = 0.1  # seconds before a bar line, within which a change may wait for the next one

# Every written bar has a key of its own in the tune, four semitones from the next: so what sounds
# tells the bar, in any of the keys that the test moves to. Only bars 1 and 2 share one, by a tie.
SONG = song_of(
    "road   | pickup |            |             | 1.      | 2.       |\n"
    "chords | D7     |: G    C    | G/B         | Am D7  :| F        |\n"
    "tune   | C2:1   |  E2:4~     | E2:1 G#2:3  | C3:4    | E3:4     |\n"
    "\n"
    "meter  6/8\n"
    "tempo  150\n"
    "section Turn\n"
    "road   | segno    | to coda | ds al coda | coda |\n"
    "chords | C   G    | Em      | D          | G    |\n"
    "tune   |  G#3:3~  | C4:3    | E4:3       | G#4:3~ |"
)
SPACING = 4  # semitones
BARS_OF = {
    round(note.pitch.midi / SPACING): {
        index
        for index, bar in enumerate(SONG.bars)
        if any(other.pitch == note.pitch for other in bar.tune)
    }
    for bar in SONG.bars
    for note in bar.tune
    if note.pitch
}


def choices(setting: Setting) -> st.SearchStrategy[tuple[object, ...]]:
    values = list(setting.values)
    if setting.name.endswith("channel") and "tune" not in setting.name:
        values.remove(str(TUNE))
    return st.tuples(st.just("change"), st.just(setting.name), st.sampled_from(values))


keys = st.one_of(
    st.sampled_from(
        [
            *[("run",), ("run",), ("loop",), ("loop",), ("listen",), ("tap",), ("mark",)],
            *[("depth",), ("start_here",), ("end_here",), ("forward",), ("back",), ("end",)],
        ]
    ),
    st.tuples(st.just("faster"), st.booleans()),
    st.tuples(st.just("shift"), st.integers(-1, 1)),
    st.tuples(st.just("toggle"), st.sampled_from(Part)),
    st.sampled_from([*CLICK_SETTINGS, *SOUND_SETTINGS]).flatmap(choices),
)
waits = st.floats(0.0, 0.2) | st.floats(0.0, 6.0)
evenings = st.lists(st.tuples(keys, waits), min_size=5, max_size=40)


@dataclass
class Witness:
    """What must hold whenever the screen has looked at the clock."""

    playing: Mode = Mode.RUNNING
    chosen: list[tuple[float, Fraction]] = field(default_factory=lambda: [(-1.0, Fraction(1))])
    moved: float = -1.0  # when the offset was changed last

    def __call__(self, desk: Desk) -> None:
        assert desk.session.mode.moving == desk.sounds
        if not desk.sounds:
            assert not desk.world.port.sounding
            return
        self.is_in_the_right_place(desk)
        self.is_never_above_the_goal(desk)
        if not desk.settings.offset and desk.seconds > self.moved + 0.3:
            self.sounds_the_right_bar(desk)

    def is_in_the_right_place(self, desk: Desk) -> None:
        world, where = desk.world, desk.where
        assert where is not None
        least, most = (world.bar_at(world.now - late) for late in (desk.settings.offset, 0.0))
        assert least <= where.index <= most or desk.seconds < self.moved + 0.3
        assert where.index == least or desk.seconds < self.moved + 0.3
        turn = desk.score.turns[where.index]
        counting = turn.counted is not None
        assert desk.session.step == turn.step
        assert desk.session.mode is (Mode.COUNT_IN if counting else self.playing)
        assert 0 <= where.place <= turn.length
        assert desk.session.lap == (turn.round + 1 if self.playing is Mode.LOOPING else 0)

    def is_never_above_the_goal(self, desk: Desk) -> None:
        began = desk.world.process.lines[-1].moment - 100.0 - SOON
        before = [scale for moment, scale in self.chosen if moment <= began]
        since = [scale for moment, scale in self.chosen if moment > began]
        fastest = max([Fraction(1), before[-1], *since])
        assert desk.speed <= float(fastest) * (1 + 1e-9)
        assert desk.session.scale <= max(Fraction(1), self.chosen[-1][1])

    def sounds_the_right_bar(self, desk: Desk) -> None:
        for channel, key in desk.world.port.sounding:
            if channel == TUNE - 1:
                assert desk.session.here.bar in BARS_OF[round(key / SPACING)]

    def press(self, desk: Desk, key: str, *how: object) -> None:
        match key, how:
            case (("forward" | "back" | "end"), _):
                moves = {"forward": 1, "back": -1, "end": 99}
                desk.go(desk.session.forward(moves[key]))
            case (("run" | "loop" | "listen"), _):
                names = {"run": Mode.RUNNING, "loop": Mode.LOOPING, "listen": Mode.LISTENING}
                getattr(desk, key)()
                self.playing = names[key]
            case _:
                getattr(desk, key)(*how)
        if key in {"faster", "tap"}:
            self.chosen.append((desk.seconds, desk.session.scale))
        if how[:1] == ("offset",):
            self.moved = desk.seconds


@settings(max_examples=50)
@given(evenings)
def test_any_keys_for_a_minute(evening: list[tuple[tuple[str, ...], float]]) -> None:
    witness = Witness()
    desk = Desk(SONG, check=witness)
    for (key, *how), pause in evening:
        witness.press(desk, key, *how)
        desk.wait(pause)
    if desk.seconds < MINUTE:
        desk.wait(MINUTE - desk.seconds)
    leave(desk)


@settings(max_examples=30)
@given(evenings, st.floats(0.001, 0.04))
def test_any_keys_on_a_slow_line(
    evening: list[tuple[tuple[str, ...], float]], latency: float
) -> None:
    witness = Witness()
    desk = Desk(SONG, latency)
    for (key, *how), pause in evening:
        witness.press(desk, key, *how)
        desk.wait(pause)
    desk.wait(1.0)
    assert desk.session.mode.moving == desk.sounds
    leave(desk)


def leave(desk: Desk) -> None:
    """Stop, and see that nothing sounds on."""
    desk.halt()
    desk.world.pass_time(2 * desk.world.latency)
    port = desk.world.port
    assert not desk.sounds
    assert not port.sounding
    used = {message[0] & 0x0F for _, message in port.sent if message[0] < 0xF0}
    assert port.cleared == used  # all sound was put off, the last thing on every channel
    desk.world.clock.close()
    assert not port.sounding
