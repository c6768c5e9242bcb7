"""What one note is: its pitch, its decay, its brightness; and the strokes of the click."""

import numpy as np
import numpy.typing as npt
import pytest

from chartwalk.clock.synth import RATE
from chartwalk.clock.synth.stroke import MODES, strokes
from chartwalk.clock.synth.tone import BLOCK, Sound, frequency, tones

Wave = npt.NDArray[np.float64]
PIANO = range(21, 109)  # the 88 keys, A0 to C8
CLICKS = (33, 34, 37, 42, 56, 75, 76, 77)  # General MIDI percussion, levels 1 and 2


def whole(sound: Sound, seconds: float) -> Wave:
    """The sound from its start on, block by block."""
    count = min(round(seconds * RATE), sound.length)
    blocks = [sound.samples(age, min(BLOCK, count - age)) for age in range(0, count, BLOCK)]
    return np.concatenate(blocks).astype(np.float64)


def loudness(wave: Wave) -> float:
    """The root mean square in dB."""
    return float(10 * np.log10(np.mean(wave**2)))


def pitch(wave: Wave, near: float) -> float:
    """The frequency in Hz of the strongest partial within a semitone of one, by FFT.

    A parabola through the logarithms of the three highest points finds it between them.
    """
    size = 1 << 20
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(wave.size), size))
    low, high = (round(near * factor * size / RATE) for factor in (0.95, 1.05))
    top = low + int(spectrum[low:high].argmax())
    left, middle, right = np.log(spectrum[top - 1 : top + 2])
    return float((top + (left - right) / (left - 2 * middle + right) / 2) * RATE / size)


@pytest.mark.parametrize(
    ("key", "hertz"),
    # ISO 16: A4 = 440 Hz; equal temperament: 440 * 2 ** ((key - 69) / 12)
    [(21, 27.5), (60, 261.6256), (69, 440.0), (108, 4186.009)],
)
def test_keys_have_the_frequencies_of_equal_temperament(key: int, hertz: float) -> None:
    assert frequency(key) == pytest.approx(hertz, abs=5e-4)


@pytest.mark.parametrize("key", [21, 33, 48, 60, 69, 81, 96, 108])
def test_the_lowest_partial_sounds_within_a_cent_of_its_key(key: int) -> None:
    heard = pitch(whole(tones()[key], 2.0), frequency(key))
    assert abs(1200 * np.log2(heard / frequency(key))) < 1


def test_higher_partials_are_a_little_sharp_as_those_of_a_stiff_string() -> None:
    lowest = frequency(60)
    wave = whole(tones()[60], 2.0)
    sharp = [1200 * np.log2(pitch(wave, n * lowest) / (n * lowest)) for n in (2, 4, 6)]
    assert 0 < sharp[0] < sharp[1] < sharp[2] < 20  # Fletcher 1964: by the square of the number


@pytest.mark.parametrize("key", PIANO)
def test_a_tone_dies_away(key: int) -> None:
    tone = tones()[key]
    wave = whole(tone, tone.length / RATE)
    quarters = [loudness(part) for part in np.array_split(wave, 4)]
    assert quarters == sorted(quarters, reverse=True)
    # The last moment is 60 dB or so below the loudest: nothing is cut off that can be heard.
    assert loudness(wave[-BLOCK:]) < loudness(wave[:BLOCK]) - 50


def test_low_strings_ring_longer_than_high_ones() -> None:
    lengths = [tone.length for tone in tones()]
    assert lengths == sorted(lengths, reverse=True)


def test_a_tone_starts_from_nothing() -> None:
    for tone in tones():
        assert abs(tone.samples(0, 1)[0]) < 1e-3


def test_a_hard_blow_is_as_loud_a_tone_but_a_brighter_one() -> None:
    soft, hard = (whole(tones()[48].struck(velocity), 0.3) for velocity in (40, 120))
    assert loudness(soft) == pytest.approx(loudness(hard), abs=1.5)

    def brightness(wave: Wave) -> float:
        power = np.abs(np.fft.rfft(wave)) ** 2
        return float((power * np.fft.rfftfreq(wave.size)).sum() / power.sum())

    assert brightness(hard) > 1.2 * brightness(soft)


def test_a_tone_is_the_same_however_it_is_cut() -> None:
    tone = tones()[64]
    at_once = tone.samples(1000, 300)
    in_parts = np.concatenate([tone.samples(1000, 17), tone.samples(1017, 283)])
    assert np.abs(at_once - in_parts).max() < 1e-4


def test_every_click_is_short_and_starts_at_once() -> None:
    assert set(CLICKS) <= set(strokes())
    for key in MODES:
        wave = whole(strokes()[key], 1.0)
        assert np.abs(wave).max() == pytest.approx(1.0)
        assert np.abs(wave[: RATE // 200]).max() > 0.5  # within 5 ms
        assert wave.size < 0.5 * RATE
        assert np.abs(wave[-BLOCK // 10 :]).max() < 0.01


def test_the_first_beat_of_the_wood_blocks_is_the_higher() -> None:
    high, low = (
        float(np.abs(np.fft.rfft(strokes()[key].wave, 1 << 16)).argmax()) for key in (76, 77)
    )
    assert 5 < 12 * np.log2(high / low) < 12  # semitones
