"""What changes while it is played: the passage that goes round, and the port it sounds on.

The song lasts two seconds a bar: at 120 a quarter is half a second. The clock needs 0.03 s to
start.
"""

from fractions import Fraction

import mido
import pytest
from tests.run.desk import Desk, song_of
from tests.run.test_blame_and_drill import drilled

from chartwalk.clock.player import LEAD
from chartwalk.conductor import Done
from chartwalk.mode import Mode

TUNE = 4  # channel, from 1
BAR = 2.0

# A scale: the tune of each bar tells which one sounds. C4 is key 60.
SCALE = (60, 62, 64, 65, 67, 69, 71, 72)
EIGHT = song_of(
    "tempo  120\n\n"
    "chords | C    | Dm   | Em   | F    | G    | Am   | Bdim | C    |\n"
    "tune   | C4:4 | D4:4 | E4:4 | F4:4 | G4:4 | A4:4 | B4:4 | C5:4 |"
)


def looping(first: int, last: int, tempo: int = 120, **chosen: str) -> Desk:
    """A desk that loops some bars (from 1), the tune to be heard; settings by their names."""
    desk = Desk(EIGHT, guide_tune="on")
    for name, value in chosen.items():
        desk.change(name.replace("_", "."), value)
    desk.session = desk.session.at_tempo(Fraction(tempo))
    desk.session = desk.session.at(first - 1).starting_here().at(last - 1).ending_here()
    desk.loop()
    return desk


def bars(desk: Desk) -> list[tuple[float, int]]:
    """The bars that were heard: how many bars after the start each began, and its number."""
    return [
        (round((at - LEAD) / BAR, 3), SCALE.index(key) + 1) for at, key in desk.world.notes(TUNE)
    ]


def test_a_loop_ends_with_the_bar_under_way() -> None:
    desk = looping(2, 5)
    desk.wait(2.5 * BAR)
    desk.end_here()  # in bar 3
    assert desk.session.looped == desk.session.passage == (1, 2)
    desk.wait(4 * BAR)
    # a bar is counted in before each round
    assert bars(desk) == [(1, 2), (2, 3), (4, 2), (5, 3)]
    assert [(done.first, done.last, done.whole) for done in desk.done] == [(1, 2, True)]


def test_a_loop_begins_with_the_bar_under_way_from_the_next_round_on() -> None:
    desk = looping(2, 4)
    desk.wait(2.5 * BAR)
    desk.start_here()  # in bar 3
    assert desk.session.looped == (2, 3)
    desk.wait(4.8 * BAR)
    assert bars(desk) == [(1, 2), (2, 3), (3, 4), (5, 3), (6, 4)]
    assert desk.done == [Done(2, 3, Fraction(1), clean=True, whole=True, kind=Mode.LOOPING)]
    assert desk.session.lap == 3


def test_the_bars_of_a_section_are_chosen_while_it_goes_round() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.loop()  # all eight bars
    desk.wait(2.5 * BAR)
    desk.start_here()  # in bar 2
    assert desk.session.passage == (1, 7), "to where the loop ends"
    desk.wait(BAR)
    desk.end_here()  # in bar 3
    desk.wait(4 * BAR)
    assert bars(desk) == [(1, 1), (2, 2), (3, 3), (5, 2), (6, 3)]


def test_the_end_alone_leaves_the_start_of_the_loop() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.loop()
    desk.wait(3.5 * BAR)
    desk.end_here()  # in bar 3
    assert desk.session.passage == (0, 2)
    desk.wait(2 * BAR)
    assert bars(desk) == [(1, 1), (2, 2), (3, 3), (5, 1)]


def test_the_tempo_stays_and_the_ladder_counts_anew() -> None:
    desk = looping(2, 4, 60, ladder_step="1 metronome mark", ladder_after="2 clean rounds")
    desk.wait(2 * 4 * BAR + 2.5 * 2 * BAR)  # one round at 60, and into bar 3 of the second
    desk.end_here()
    desk.wait(0.5 * 2 * BAR + 0.1)
    assert desk.session.lap == 3
    assert desk.session.tempo == 60, "one clean round since the passage was changed: not yet"
    desk.wait(2 * 3 * BAR)
    assert desk.session.tempo == 63  # the metronome mark after 60


def test_the_end_it_has_already_changes_nothing() -> None:
    desk = looping(2, 3, 60, ladder_step="1 metronome mark", ladder_after="2 clean rounds")
    desk.wait(2 * 3 * BAR + 2.5 * 2 * BAR)  # one round at 60, and into bar 3 of the second
    desk.end_here()
    desk.wait(0.5 * 2 * BAR + 0.1)
    assert desk.session.lap == 3
    assert desk.session.tempo == 63


def test_two_bars_of_count_in_are_counted_out() -> None:
    desk = looping(2, 3, click_count="2 bars")
    desk.wait(0.5 * BAR)  # in the first of them
    desk.end_here()
    desk.wait(2.2 * BAR)
    assert desk.session.looped == (1, 1)
    assert bars(desk) == [(2, 2)]


def test_no_passage_leaves_the_loop_as_it_is() -> None:
    desk = looping(2, 3)
    desk.wait(1.5 * BAR)
    desk.start_here()  # it begins here already: no passage any more
    assert (desk.session.passage, desk.session.looped) == (None, (1, 2))
    desk.wait(3 * BAR)
    assert bars(desk) == [(1, 2), (2, 3), (4, 2)]


def test_a_run_and_a_drill_are_not_turned_into_loops() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.run()
    desk.wait(2.5 * BAR)
    desk.end_here()
    desk.wait(2 * BAR)
    assert bars(desk) == [(1, 1), (2, 2), (3, 3), (4, 4)]
    assert desk.session.looped is None


def test_a_drill_goes_on_as_it_is() -> None:
    desk = Desk(EIGHT, guide_tune="on")
    desk.session = desk.conductor.drill(desk.session, drilled(120))
    desk.following = True
    desk.wait(1.5 * BAR)
    desk.end_here()
    assert desk.session.looped == (1, 2)
    desk.wait(BAR)
    assert bars(desk) == [(1, 2), (2, 3)]


# Another port.


def sent_to(desk: Desk, since: int) -> list[str]:
    """What was sent from a message on: programs, volumes, and what a drum machine is told."""
    found = [mido.Message.from_bytes(message) for _, message in desk.world.port.sent[since:]]
    kinds = {"program_change", "songpos", "start", "continue", "stop"}
    return [
        f"volume {message.value}" if message.type == "control_change" else message.type
        for message in found
        if message.type in kinds or (message.type == "control_change" and message.control == 7)
    ]


@pytest.mark.parametrize("latency", [0.0, 0.02])
def test_another_port_is_set_up_at_the_next_bar_line(latency: float) -> None:
    desk = Desk(
        EIGHT, latency, guide_tune="on", guide_tune_program="organ", guide_tune_volume="soft",
        midi_clock="on",
    )  # fmt: skip
    desk.run()
    desk.wait(2.5 * BAR)
    assert sent_to(desk, 0) == ["program_change", "volume 64", "songpos", "start"]
    before = len(desk.world.port.sent)
    desk.world.clock.open("organ")
    desk.wait(BAR)
    # the first port is let go of, and the next one is told all that it needs
    assert sent_to(desk, before) == ["stop", "program_change", "volume 64", "songpos", "continue"]
    before = len(desk.world.port.sent)
    desk.wait(2 * BAR)
    assert sent_to(desk, before) == [], "once"


def test_a_port_that_is_back_is_set_up_again() -> None:
    desk = Desk(EIGHT, guide_tune="on", guide_tune_program="organ")
    desk.run()
    desk.wait(1.5 * BAR)
    desk.world.clock.open(None)
    desk.wait(2 * BAR)
    before = len(desk.world.port.sent)
    desk.world.clock.open("piano")
    desk.wait(BAR)
    assert sent_to(desk, before) == ["program_change", "volume 96"]
