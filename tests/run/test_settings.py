"""What the player can set, as words, and what the words mean for a run."""

from fractions import Fraction

import pytest

from chartwalk.click import Beats, Between
from chartwalk.guide import Part
from chartwalk.run import Ladder
from chartwalk.settings import (
    CLICK_SETTINGS,
    PEDAL_SETTINGS,
    SETTINGS,
    SOUND_SETTINGS,
    Setting,
    Settings,
)

OF_A_RUN = (*CLICK_SETTINGS, *SOUND_SETTINGS, *PEDAL_SETTINGS)


@pytest.mark.parametrize("setting", OF_A_RUN, ids=[setting.name for setting in OF_A_RUN])
def test_every_value_of_every_setting_means_something(setting: Setting) -> None:
    assert setting.default in setting.values
    assert len(set(setting.values)) == len(setting.values)
    found = []
    for value in setting.values:
        settings = Settings().having(setting.name, value)
        assert settings[setting.name] == value
        found.append(
            (
                settings.click, settings.guide.parts, dict(settings.guide.voices),
                settings.ladder, settings.offset, settings.manner.midi_clock,
                settings.forward, settings.back,
            )
        )  # fmt: skip
    assert all(one != other for n, one in enumerate(found) for other in found[:n])


def test_what_is_unknown_counts_as_the_default() -> None:
    kept = {"click.beats": "three and a half", "offset": "40 ms"}
    settings = Settings.kept(kept.get)
    assert settings.click.beats is Beats.EVERY
    assert settings.offset == pytest.approx(0.04)
    assert Settings({"no such thing": "x"}).click == Settings().click


def test_what_is_set_reaches_the_run() -> None:
    settings = Settings(
        {
            "click.beats": "2 and 4", "click.between": "swung eighths", "click.swing": "3 to 1",
            "click.five": "2+3", "click.seven": "3+2+2", "click.count": "2 bars",
            "click.gap": "1 on, 3 silent", "ladder.step": "2 metronome marks",
            "ladder.after": "3 clean rounds", "click.volume": "soft", "midi.clock": "on",
        }
    )  # fmt: skip
    click = settings.click
    assert (click.beats, click.between, click.swing) == (Beats.BACKBEAT, Between.SWUNG, Fraction(3))
    assert (click.groups_of(5), click.groups_of(7)) == ((2, 3), (3, 2, 2))
    assert (click.count_in, click.sounding, click.silent) == (2, 1, 3)
    assert settings.ladder == Ladder(2, 3, clean=True)
    assert settings.manner.midi_clock
    assert settings.manner.click == click
    assert click.volume < Settings().click.volume


def test_a_part_is_turned_on_and_off_again() -> None:
    on = Settings().toggled(Part.BASS)
    assert on.guide.parts == {Part.BASS}
    assert on.toggled(Part.BASS).guide.parts == frozenset()


def test_the_value_beside_stays_at_the_ends() -> None:
    swing = SETTINGS["click.swing"]
    assert swing.default == "2 to 1"  # the usual one: Friberg & Sundström 2002, medium tempo
    assert swing.beside("2 to 1", 1) == "5 to 2"
    assert swing.beside("2 to 1", -5) == swing.values[0]
    assert swing.beside("2 to 1", 99) == swing.values[-1]
    assert Settings().having("click.swing", "3 to 2").click.swing == Fraction(3, 2)
