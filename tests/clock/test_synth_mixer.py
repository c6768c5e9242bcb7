"""Which notes sound, how they end, and that no sum of them is cut off."""

import itertools

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock.synth import RATE
from chartwalk.clock.synth.mixer import CEILING, MOST_NOTES, Mixer

Wave = npt.NDArray[np.float64]
PERIOD = 480
WOOD = bytes([0x99, 76, 112])  # General MIDI percussion: the high wood block


def on(key: int, velocity: int = 100, channel: int = 0) -> bytes:
    return bytes([0x90 | channel, key, velocity])


def off(key: int, channel: int = 0) -> bytes:
    return bytes([0x80 | channel, key, 64])


def control(number: int, value: int = 0, channel: int = 0) -> bytes:
    return bytes([0xB0 | channel, number, value])


def rendered(mixer: Mixer, seconds: float) -> Wave:
    periods = round(seconds * RATE / PERIOD)
    return np.concatenate([mixer.samples(PERIOD) for _ in range(periods)]).astype(np.float64)


def sounding(*messages: bytes) -> Mixer:
    mixer = Mixer()
    for message in messages:
        mixer.take(message)
    return mixer


def level(wave: Wave) -> float:
    """The root mean square in dB below the loudest there can be."""
    return float(10 * np.log10(np.mean(wave**2) + 1e-20))


def test_ten_loud_notes_and_a_click_are_never_cut_off() -> None:
    mixer = sounding(*(on(key, 127) for key in range(36, 86, 5)), WOOD)
    wave = rendered(mixer, 1.0)
    assert 0.3 < np.abs(wave).max() < CEILING < 1.0


def test_nothing_is_cut_off_even_by_far_too_much() -> None:
    mixer = sounding(*(on(key, 127, channel) for channel in range(9) for key in range(40, 100, 2)))
    wave = rendered(mixer, 0.2)
    assert np.abs(wave).max() < 1.0
    assert np.abs(np.diff(wave)).max() < 1.0


def test_a_loud_chord_is_modest() -> None:
    chord = sounding(*(on(key, 112) for key in (41, 48, 55, 60, 64, 67)))
    assert level(rendered(chord, 0.5)) == pytest.approx(-18, abs=1)


def test_a_quiet_sum_is_left_as_it_is() -> None:
    both = rendered(sounding(on(60, 60), on(64, 60)), 0.1)
    each = [rendered(sounding(on(key, 60)), 0.1) for key in (60, 64)]
    assert np.abs(both - each[0] - each[1]).max() < 1e-6


def test_a_harder_blow_is_louder() -> None:
    levels = [level(rendered(sounding(on(60, velocity)), 0.3)) for velocity in (20, 64, 100, 127)]
    assert levels == sorted(levels)
    assert levels[-1] - levels[0] > 15


@pytest.mark.parametrize("end", [off(60), on(60, 0), control(123)])
def test_a_released_note_is_over_after_a_tenth_of_a_second(end: bytes) -> None:
    mixer = sounding(on(60))
    before = rendered(mixer, 0.2)
    mixer.take(end)
    tail = rendered(mixer, 0.2)
    # MIDI 1.0: a note on of velocity 0 is a note off; controller 123 is all notes off
    assert np.abs(tail[: PERIOD // 2]).max() > 0.5 * np.abs(before[-PERIOD:]).max()
    assert not tail[round(0.1 * RATE) :].any()
    assert mixer.silent


def test_all_sound_off_silences_at_once_without_a_crack() -> None:
    mixer = sounding(on(60), on(40), WOOD)
    before = rendered(mixer, 0.01)
    mixer.take(control(120))
    mixer.take(control(120, channel=9))
    tail = rendered(mixer, 0.05)
    assert not tail[round(0.01 * RATE) :].any()
    steps = np.abs(np.diff(np.concatenate([before[-1:], tail])))
    assert steps.max() <= 1.05 * np.abs(np.diff(before)).max()
    assert mixer.silent


def test_a_note_on_its_way_out_can_still_be_silenced_at_once() -> None:
    mixer = sounding(on(60))
    rendered(mixer, 0.1)
    mixer.take(off(60))
    before = rendered(mixer, 0.02)
    mixer.take(control(120))
    tail = rendered(mixer, 0.02)
    assert not tail[round(0.01 * RATE) :].any()
    assert abs(tail[0] - before[-1]) <= 1.05 * np.abs(np.diff(before)).max()


def test_a_click_rings_out_by_itself() -> None:
    plain, ended = sounding(WOOD), sounding(WOOD, off(76, 9))
    assert (rendered(plain, 0.2) == rendered(ended, 0.2)).all()
    assert plain.silent


def test_an_unknown_key_of_percussion_still_clicks() -> None:
    assert level(rendered(sounding(bytes([0x99, 60, 100])), 0.02)) > -40


@pytest.mark.parametrize("up", [control(64, 0), control(64, 63), control(121)])
def test_the_damper_pedal_holds_notes_until_it_is_up(up: bytes) -> None:
    mixer = sounding(control(64, 127), on(60), on(64))
    mixer.take(off(60))
    assert level(rendered(mixer, 0.5)[-PERIOD:]) > -50
    mixer.take(up)  # MIDI 1.0: below 64 the damper is up; 121 resets all controllers
    rendered(mixer, 0.2)
    assert not mixer.silent  # the key that is still down
    mixer.take(off(64))
    rendered(mixer, 0.2)
    assert mixer.silent


def test_channels_end_their_own_notes_only() -> None:
    mixer = sounding(on(60, channel=0), on(64, channel=1))
    for message in (off(60, 1), control(123, channel=2), control(120, channel=1)):
        mixer.take(message)
    rendered(mixer, 0.2)
    assert not mixer.silent
    mixer.take(control(120))
    rendered(mixer, 0.05)
    assert mixer.silent


def test_volume_counts_as_in_general_midi() -> None:
    full, half = (
        level(rendered(sounding(control(7, value), on(60, 60)), 0.3)) for value in (127, 64)
    )
    # General MIDI level 2: 40 log10(value / 127) dB
    assert full - half == pytest.approx(40 * np.log10(127 / 64), abs=0.01)
    assert not rendered(sounding(control(7, 0), on(60)), 0.1).any()


def test_volume_moves_without_a_crack() -> None:
    mixer = sounding(on(40, 100))
    before = rendered(mixer, 0.1)
    mixer.take(control(7, 0))
    tail = rendered(mixer, 0.05)
    assert abs(tail[0] - before[-1]) <= 1.05 * np.abs(np.diff(before)).max()
    assert not tail[PERIOD:].any()


def test_a_key_struck_again_does_not_pile_up() -> None:
    mixer = Mixer()
    peaks = []
    for _ in range(20):
        mixer.take(on(60))
        peaks.append(np.abs(rendered(mixer, 0.15)).max())
    assert max(peaks) < 1.5 * peaks[0]


def test_with_too_many_notes_the_oldest_gives_way() -> None:
    mixer = sounding(on(30))
    rendered(mixer, 0.05)
    for key in range(40, 40 + MOST_NOTES):
        mixer.take(on(key))
    rendered(mixer, 0.05)
    for key in range(40, 40 + MOST_NOTES):
        mixer.take(off(key))
    rendered(mixer, 0.2)
    assert mixer.silent


@pytest.mark.parametrize(
    "message", [bytes([0xC0, 19]), bytes([0xE0, 0, 0]), bytes([0xF8]), bytes([0xB0, 1, 127])]
)
def test_what_it_does_not_know_changes_nothing(message: bytes) -> None:
    mixer = sounding(on(60), message)
    assert (rendered(mixer, 0.05) == rendered(sounding(on(60)), 0.05)).all()


messages = st.one_of(
    st.builds(on, st.integers(0, 127), st.integers(0, 127), st.integers(0, 15)),
    st.builds(off, st.integers(0, 127), st.integers(0, 15)),
    st.builds(
        control, st.sampled_from([7, 64, 120, 121, 123]), st.integers(0, 127), st.integers(0, 15)
    ),
)


@given(st.lists(messages, max_size=120))
def test_whatever_is_played_it_stays_whole_and_can_be_ended(played: list[bytes]) -> None:
    mixer = Mixer()
    for few in itertools.batched(played, 4) if hasattr(itertools, "batched") else [played]:
        for message in few:
            mixer.take(message)
        wave = mixer.samples(PERIOD)
        assert np.isfinite(wave).all()
        assert np.abs(wave).max() < 1.0
    mixer.cut()
    rendered(mixer, 0.03)
    assert mixer.silent
