"""Practising by lines: what is typed, what is told, what is heard, what the log keeps."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.plain.listener import Listener, demo
from tests.run.fake_time import START

from chartwalk.files import open_for_practice
from chartwalk.log import Kind, Store
from chartwalk.mode import Mode
from chartwalk_tui.actions import STAND
from chartwalk_tui.app import ChartwalkApp
from chartwalk_tui.plain.commands import (
    COMMANDS,
    ELSEWHERE,
    NOT_HERE,
    UnknownLetterError,
    commands_of,
)
from chartwalk_tui.plain.home import PORT
from chartwalk_tui.plain.practice import Practice

PEDALS = {"pedal_forward", "pedal_back"}  # they send no line
CHORDS = 2  # the channel on which the guide plays them
COUNT_IN = 4  # beats of a bar of 4/4

Write = Callable[[str], Path]


@pytest.fixture
def lanterns() -> Listener:
    """A player before a song with a pickup, a repeat and two endings."""
    return Listener(demo("lanterns-at-low-tide"))


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a chart file."""

    def written(text: str) -> Path:
        path = tmp_path / "own.lead"
        path.write_text(text, encoding="utf-8")
        return path

    return written


def test_every_letter_of_the_stand_does_something_or_says_where_it_is() -> None:
    here = {command.name for command in COMMANDS}
    for action in STAND:
        name = action.name.removeprefix("app.")
        assert (name in here) != (action.name in ELSEWHERE or action.name in PEDALS), action.name
    letters = [command.letter for command in COMMANDS]
    assert len(letters) == len(set(letters))
    assert not set(letters) & set(NOT_HERE)


def test_every_command_is_a_method_of_the_practice() -> None:
    assert all(callable(getattr(Practice, command.name)) for command in COMMANDS)


def test_the_output_is_the_one_that_setup_keeps() -> None:
    assert PORT == ChartwalkApp.PORT_SETTING


@pytest.mark.parametrize("line", ["!", "d!", "1 2 é", "\x1b[C"])
def test_a_line_with_an_unknown_letter_does_nothing(lanterns: Listener, line: str) -> None:
    before = lanterns.practice.session
    with pytest.raises(UnknownLetterError):
        commands_of(line)
    (told,) = lanterns.types(line)
    assert told.endswith("does nothing. ? lists all.")
    assert lanterns.practice.session is before


def test_what_is_not_here_says_where_it_is(lanterns: Listener) -> None:
    assert lanterns.types("v") == [
        "The key for a singer is told by the command: chartwalk keys FILE."
    ]


def test_several_letters_on_a_line(lanterns: Listener) -> None:
    lanterns.types(">>>")
    assert lanterns.practice.session.step == 3
    lanterns.types("< <")
    assert lanterns.practice.session.step == 1
    lanterns.types("Z")
    assert lanterns.practice.session.step == 29
    lanterns.types("A jj")
    assert (lanterns.practice.session.step, lanterns.practice.session.change) == (1, 1)
    lanterns.types("J")
    assert lanterns.practice.session.change == 0


def test_a_bar_is_asked_for_where_none_is_given(lanterns: Listener) -> None:
    assert lanterns.types("g") == ["Which bar? Type its number."]
    assert lanterns.types("12")[0].startswith("Bar 12, step 19 of 30, Chorus.")
    assert lanterns.types("g 99") == ["No bar 99: the bars go from 1 to 23, the pickup is 0."]
    assert lanterns.types("g", "", "")[-2].startswith("Bar 13,"), "no answer, then the next bar"


def test_the_help_names_every_letter_by_its_name(lanterns: Listener) -> None:
    told = lanterns.types("?")
    assert "Enter alone: next bar, in the order it is played." in told
    assert any(line.startswith("left square bracket: the passage begins here") for line in told)
    assert "comma: the song a semitone down." in told
    assert "invented for the demo" in told
    assert any(line.startswith("A pickup, a first and a second ending") for line in told)


def test_a_run_tells_sections_and_jumps_one_bar_ahead(lanterns: Listener) -> None:
    lanterns.types("g 8")
    assert lanterns.types("r") == ["Run from bar 8, tempo 84. r stops."]
    assert lanterns.waits(COUNT_IN - 0.5) == []
    assert lanterns.waits(1) == ["Next bar, repeat, 2nd time, to bar 1."]
    assert lanterns.waits(5 * 4) == []
    assert lanterns.practice.session.bar.number == "5"
    assert lanterns.waits(4) == ["Next bar, 2nd ending, to bar 9."]
    assert lanterns.waits(4) == []
    assert lanterns.waits(4) == ["Next bar, Chorus."]
    assert lanterns.types("r") == ["Stopped at bar 10."]
    assert not lanterns.sounding


def test_a_run_tells_every_bar_if_asked(lanterns: Listener) -> None:
    assert lanterns.types("g 1", "y")[-1] == "A run tells every bar as it begins."
    lanterns.types("r")
    assert lanterns.waits(COUNT_IN + 0.5) == ["Bar 1. G."]
    assert lanterns.waits(4) == ["Bar 2. E minor 7."]
    assert lanterns.types("y") == ["A run tells sections and jumps, one bar ahead."]
    assert lanterns.waits(4) == []


def test_a_run_comes_to_its_end_and_is_written(lanterns: Listener) -> None:
    lanterns.types("Z", "r")
    assert lanterns.waits(COUNT_IN + 0.5) == ["Last bar."]
    assert lanterns.store.passes() == []
    assert lanterns.waits(4) == ["The end."]
    (played,) = lanterns.store.passes()
    assert (played.kind, played.whole, played.clean) == ("run", True, True)
    assert (played.first.number, played.last.number) == ("23", "23")
    assert not lanterns.sounding


def test_after_the_end_a_run_begins_where_it_began_or_where_the_player_went(
    lanterns: Listener,
) -> None:
    lanterns.types("Z", "<", "r")
    lanterns.waits(COUNT_IN + 8.5)
    assert lanterns.types("r")[0] == "Run from bar 22, tempo 84. r stops."
    lanterns.waits(COUNT_IN + 8.5)
    lanterns.types("Z")
    assert lanterns.types("r")[0] == "Run from bar 23, tempo 84. r stops."
    lanterns.waits(COUNT_IN + 4.5)
    assert len(lanterns.store.runs()) == 3, "each one is a run of its own"


def test_a_run_that_is_stopped_is_written(lanterns: Listener) -> None:
    lanterns.types("g 1", "r")
    lanterns.waits(COUNT_IN + 2 * 4 + 0.5)
    lanterns.types("r")
    (played,) = lanterns.store.passes()
    assert (played.whole, played.last.number) == (False, "2"), "bar 3 was broken off"


def test_moving_by_hand_stops_a_run(lanterns: Listener) -> None:
    lanterns.types("g 1", "r")
    lanterns.waits(COUNT_IN + 0.5)
    assert lanterns.types("")[0].startswith("Bar 2, ")
    assert lanterns.practice.session.mode is Mode.STOPPED
    assert not lanterns.sounding


def test_a_loop_tells_its_rounds(lanterns: Listener) -> None:
    lanterns.types("g 3", "[", "]")
    assert lanterns.types("l") == ["Loop: bar 3. l stops."]
    assert lanterns.waits(COUNT_IN + 0.5) == []
    assert lanterns.waits(4 + COUNT_IN) == ["Round 2."]
    assert lanterns.types("-") == ["Tempo 80, goal 84."]
    assert lanterns.waits(4 + COUNT_IN) == ["Round 3, tempo 80, goal 84."]
    assert lanterns.types("l") == ["Stopped at bar 3."]
    assert [played.kind for played in lanterns.store.passes()] == ["loop"] * 2


def test_listening_says_when_it_is_the_players_turn(lanterns: Listener) -> None:
    lanterns.types("g 3", "[", "]")
    assert lanterns.types("f") == ["Listen from bar 3. f stops."]
    told = lanterns.waits(COUNT_IN + 4.5)
    assert told[-1] == "That is how it goes. Your turn: r runs from here, l loops it."
    assert lanterns.store.passes() == []


def test_after_the_last_bar_was_heard_a_run_begins_there(lanterns: Listener) -> None:
    lanterns.types("Z[]", "f")
    lanterns.waits(COUNT_IN + 4.5)
    assert lanterns.types("r")[0] == "Run from bar 23, tempo 84. r stops."


def test_a_mark_in_a_run_is_about_the_bar_just_played(lanterns: Listener) -> None:
    lanterns.types("g 1", "r")
    lanterns.waits(COUNT_IN + 4.5)  # within the first beat of bar 2
    assert lanterns.types("mc") == ["Marked bar 1, D over F sharp: chord."]
    (mark,) = lanterns.store.marks()
    assert (mark.anchor.number, mark.kind, mark.chord) == ("1", Kind.CHORD, "D/F#")
    lanterns.waits(4)
    lanterns.types("r")
    assert [played.clean for played in lanterns.store.passes()] == [False]


def test_marks_with_a_kind_with_words_and_taken_back(lanterns: Listener) -> None:
    lanterns.types("g 7")
    assert lanterns.types("m") == ["Marked bar 7, A minor 7."]
    assert lanterns.types("m h") == ["Marked bar 7, A minor 7: hands."]
    assert lanterns.types("M too late") == ["Marked bar 7, A minor 7: too late"]
    assert lanterns.types("M") == ["Marked bar 7, A minor 7. Type a word about it."]
    assert lanterns.types("quite late") == ["Bar 7: quite late"]
    told = lanterns.types("mz")
    assert told[0] == "Marked bar 7, A minor 7."
    assert told[1].startswith("z is no kind of trouble.")
    marks = lanterns.store.marks()
    assert sorted((mark.kind.value, mark.words) for mark in marks) == [
        ("", ""), ("", ""), ("", "quite late"), ("", "too late"), ("hands", ""),
    ]  # fmt: skip
    assert lanterns.types("u") == ["Took back the mark on bar 7."]
    assert lanterns.types("A", "g 7")[-2].startswith("Bar 7, step 8 of 30, Verse, 4 marks.")
    lanterns.types("uuuu")
    assert lanterns.types("u") == ["No mark was made here since the song was opened."]
    assert lanterns.store.marks() == []


def test_tempo_key_and_depth(lanterns: Listener) -> None:
    assert lanterns.types("-") == ["Tempo 80, goal 84."]
    assert lanterns.types("=+") == ["Tempo 84.", "Tempo 88, goal 84."]
    assert lanterns.types("b 120") == ["Tempo 120, goal 84."]
    for wrong in ("b x", "b 0", "b -3", "b 9999"):
        assert lanterns.types(wrong) == ["Type a tempo in beats a minute, such as b 96."]
    assert lanterns.types(".") == ["A flat major: up a minor second."]
    assert lanterns.types(",") == ["G major, as written."]
    assert lanterns.types("d") == ["Lean: 1 change left out; x tells those of a bar."]
    assert lanterns.types("d")[0].startswith("Plain: triads")
    assert lanterns.types("d") == ["All chords as written."]
    assert lanterns.types("1") == ["The guide plays chords in a run."]
    assert lanterns.store.setting("guide.chords") == "on"


def test_the_guide_begins_to_play_in_a_run_at_the_depth_there_is(lanterns: Listener) -> None:
    lanterns.types("g 2", "r")
    lanterns.waits(COUNT_IN + 0.5)
    lanterns.types("1")
    lanterns.waits(4)
    keys = {key % 12 for _, key in lanterns.world.notes(CHORDS)}
    assert keys == {0, 4, 7}, "bar 3 begins with C"
    lanterns.types("dd")  # plain: Em7 becomes Em
    lanterns.waits(2 * 4)
    keys = {key % 12 for _, key in lanterns.world.notes(CHORDS)[-3:]}
    assert keys == {4, 7, 11}, "bar 5 begins with E minor"


def test_what_setup_set_holds_here_too(lanterns: Listener) -> None:
    lanterns.store.set("offset", "300 ms")
    lanterns.store.set("click.count", "2 bars")
    lanterns.types("g 1", "y", "r")
    assert lanterns.world.metronome.offset == 0.3
    assert lanterns.waits(COUNT_IN + 1) == []
    assert lanterns.waits(COUNT_IN) == ["Bar 1. G."]


def test_a_tempo_is_tapped(lanterns: Listener) -> None:
    assert lanterns.types("b") == ["b and Enter on every beat: the tempo follows."]
    lanterns.world.pass_time(0.5)
    assert lanterns.types("b") == ["Tempo 120, goal 84."]


def test_why_nothing_sounds_is_told_once() -> None:
    listener = Listener(demo("first-lamp"), connected=False)
    assert listener.types("r")[1:] == [
        "The click makes no sound. Looking for a MIDI output; one moment.",
        "y has every bar told as it begins.",
    ]
    assert listener.types("r", "r") == ["Stopped at bar 1.", "Run from bar 1, tempo 80. r stops."]
    listener.types("r")
    assert listener.types("s") == ["No sound. Looking for a MIDI output; one moment."]


def test_what_the_clock_says_is_told(lanterns: Listener) -> None:
    lanterns.world.clock.unstartable("no room")
    assert lanterns.waits(1) == ["The clock could not be started: no room."]


def test_a_chord_sounds(lanterns: Listener) -> None:
    assert lanterns.types("s") == ["No chord in the pickup."]
    lanterns.types("", "s")
    assert [key for _, key in lanterns.world.port.sounding] != []
    assert {key % 12 for _, key in lanterns.world.port.sounding} == {7, 11, 2}, "G B D"


def test_the_log_tells_what_is_due_and_drills_it(lanterns: Listener) -> None:
    assert lanterns.types("t")[0].startswith("No trouble spots.")
    lanterns.types("g 7", "m")
    told = lanterns.types("t")
    assert told[0] == "1 trouble spot, 0 due now. t and a number drills one."
    assert told[1] == (
        "1. Lanterns at Low Tide: bar 7, G over B to A minor 7, 1 mark, not clean yet, goal 84, "
        "due tomorrow."
    )
    assert lanterns.types("t 2") == ["There is no spot 2; t lists them."]
    assert lanterns.types("t x") == ["There is no spot x; t lists them."]
    told = lanterns.types("t 1")
    assert told[0].startswith(
        "Drill. Not clean yet: begin at 54, below two thirds of the goal, 84."
    )
    lanterns.waits(COUNT_IN + 0.5)
    assert lanterns.practice.session.bar.number == "6", "the bar before is played too"
    told = lanterns.waits(3 * 4 + COUNT_IN)
    assert "Clean at 54: 2 more." in told
    lanterns.types("r")
    assert lanterns.practice.session.tempo == 84, "the tempo of before"
    assert {played.kind for played in lanterns.store.passes()} == {"drill"}


def test_a_drill_ends_when_its_time_is_up(lanterns: Listener) -> None:
    lanterns.store.set("drill.minutes", "5 minutes")
    lanterns.types("g 7", "m", "t 1")
    for _ in range(40):  # marked once in every round, it never gets faster
        told = lanterns.waits(COUNT_IN + 3 * 4)
        if "The end." in told:
            break
        lanterns.types("m")
    assert told[-2:] == ["The time is over, at 28: leave it for another day.", "The end."]
    assert 5 * 60 <= lanterns.world.now - START < 6.5 * 60


def test_moving_by_hand_ends_a_drill_and_its_tempo(lanterns: Listener) -> None:
    lanterns.types("g 7", "m", "t 1")
    lanterns.waits(COUNT_IN + 0.5)
    assert lanterns.practice.session.tempo == 54
    lanterns.types("")
    assert lanterns.practice.session.tempo == 84
    assert lanterns.practice.session.lap == 0


def test_a_drill_that_is_clean_at_the_goal_is_done(lanterns: Listener) -> None:
    lanterns.types("g 7", "m", "t 1", "b 84")
    told = lanterns.waits(5 * (COUNT_IN + 3 * 4))
    assert told[-2:] == ["The end.", "Clean three times at the goal, 84: done."]
    assert lanterns.practice.session.mode is Mode.STOPPED


def test_a_spot_of_another_song_is_opened(lanterns: Listener) -> None:
    lanterns.types("g 7", "m")
    other = Listener(demo("first-lamp"), lanterns.store)
    other.types("g 3")
    told = other.types("t 1")
    assert "Lanterns at Low Tide." in told
    assert other.practice.session.lap == 1
    again = Listener(demo("first-lamp"), lanterns.store).begin()
    assert again[2].startswith("Bar 3, "), "the song before is kept as it was left"


def test_the_song_is_kept_as_it_was_left(lanterns: Listener) -> None:
    lanterns.types("g 7", "-", "d")
    lanterns.practice.leave()
    told = Listener(demo("lanterns-at-low-tide"), lanterns.store).begin()
    assert told[1] == "G major, 1 sharp: F sharp. 4/4, tempo 80, goal 84. Chords lean."
    assert told[2].startswith("Bar 7, step 8 of 30, Verse.")


def test_leaving_stops_what_sounds_and_writes_what_was_played(lanterns: Listener) -> None:
    lanterns.types("123", "g 1", "r")
    lanterns.waits(COUNT_IN + 5.5)
    assert lanterns.sounding
    lanterns.practice.leave()
    assert not lanterns.sounding
    assert len(lanterns.store.passes()) == 1


BROKEN = """title    Broken
meter    4/4

chords   | C | Xyz | G |
"""


def test_what_is_wrong_with_the_file_is_told_first(write: Write) -> None:
    listener = Listener(open_for_practice(write(BROKEN)))
    told = listener.begin()
    assert told[0] == "1 problem in this file."
    assert told[1].startswith("Line 4, column 16: ")
    assert told[2] == "Broken."
    assert told[3] == "No key is named. 4/4, tempo 96. Chords as written."
    (place, *_) = listener.types("")
    assert place.startswith("Bar 2, step 2 of 3. Wrong here in the file: ")


def test_the_chart_is_read_again(write: Write) -> None:
    path = write(BROKEN)
    listener = Listener(open_for_practice(path))
    listener.types("g 2")
    write(BROKEN.replace("Xyz", "F"))
    assert listener.types("e") == [
        "Read again.",
        "Bar 2, step 2 of 3. F: F, A, C.",
        "Next, G next bar: F to G, A to B, C to D; bass F to G.",
    ]
    path.unlink()
    (told,) = listener.types("e")
    assert told.startswith("The chart can't be read.")


def test_a_log_that_refuses_is_told_and_practice_goes_on(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    listener = Listener(demo("first-lamp"), store)
    store.close()
    assert listener.types("m")[0].endswith("Practice goes on.")
    assert listener.types("1")[0].endswith("It holds until you quit.")
    assert listener.types("t")[0].endswith("Practice goes on.")
    assert listener.types("")[0].startswith("Bar 2, ")
