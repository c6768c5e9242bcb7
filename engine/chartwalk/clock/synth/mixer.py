"""MIDI messages in, samples out: which notes sound on which channel, and how they end.

Reference: MIDI 1.0 (channel 10 is percussion in General MIDI; controllers 7, 64, 120, 121, 123).
Volume counts as in General MIDI level 2, 40 log10(value / 127) dB, and is 100 at first. Programs,
pitch bend and all else are passed over: there is one instrument.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chartwalk.clock.output import CONTROL, note_on
from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON
from chartwalk.clock.synth import RATE
from chartwalk.clock.synth.stroke import SIDE_STICK, strokes
from chartwalk.clock.synth.tone import BLOCK, LOUDEST, Samples, Sound, tones

PERCUSSION: Final = 9  # channel 10, counted from 0
VOLUME, DAMPER, SOUND_OFF, RESET, NOTES_OFF = 7, 64, 120, 121, 123
DAMPER_DOWN: Final = 64  # and above
FIRST_VOLUME: Final = 100

MOST_NOTES: Final = 32  # at once; the oldest gives way
LEVEL: Final = 0.165  # of the hardest blow; a loud chord of six keys is at -18 dBFS then
STROKE_LEVEL: Final = 0.5
CURVE: Final = 1.5  # power of the velocity that the level goes by

KNEE: Final = 0.5  # above this the sum is bent, so that it never reaches the ceiling
CEILING: Final = 0.98


def _fall(seconds: float) -> Samples:
    """Return a smooth way from 1 to 0."""
    count = round(seconds * RATE)
    return (0.5 + 0.5 * np.cos(np.pi * np.arange(1, count + 1) / count)).astype(np.float32)


RELEASE: Final = _fall(0.1)  # a damper falls on the string
CUT: Final = _fall(0.01)  # as short as can be without a crack


@dataclass(slots=True)
class Voice:
    """A note that sounds."""

    channel: int
    key: int
    sound: Sound
    level: float
    volume: float  # of the channel, as it was heard last
    age: int = 0
    damped: bool = True  # False while only the pedal holds it
    fall: Samples | None = None  # how it ends, once it does
    fallen: int = 0

    @property
    def ends(self) -> bool:
        """Whether it is on its way out."""
        return self.fall is not None

    @property
    def over(self) -> bool:
        """Whether it has nothing more to give."""
        fallen = self.fall is not None and self.fallen >= self.fall.size
        return fallen or self.age >= self.sound.length

    def end(self, fall: Samples) -> None:
        """Let it fall silent; a shorter way may take the place of one it is on."""
        if self.fall is None or fall.size < self.fall.size - self.fallen:
            if self.fall is not None and self.fallen:
                self.level *= float(self.fall[self.fallen - 1])
            self.fall, self.fallen = fall, 0

    def add_to(self, out: Samples, volume: float) -> None:
        """Add the next samples, ``BLOCK`` at most, the channel's volume going to ``volume``."""
        count = min(out.size, self.sound.length - self.age)
        samples = self.sound.samples(self.age, count) * np.float32(self.level)
        if volume == self.volume:
            samples *= np.float32(volume)
        else:
            samples *= np.linspace(self.volume, volume, count, dtype=np.float32)
            self.volume = volume
        if self.fall is not None:
            falling = self.fall[self.fallen : self.fallen + count]
            samples[: falling.size] *= falling
            samples[falling.size :] = 0
            self.fallen += count
        out[:count] += samples
        self.age += count


class Mixer:
    """One instrument on sixteen channels; percussion on channel 10."""

    def __init__(self) -> None:
        self._tones, self._strokes = tones(), strokes()
        self._voices: list[Voice] = []
        self._volumes = [_volume(FIRST_VOLUME)] * 16
        self._dampers = [False] * 16

    @property
    def silent(self) -> bool:
        """Whether nothing sounds."""
        return not self._voices

    def take(self, message: bytes) -> None:
        """Do what one short message says."""
        kind, channel = message[0] & 0xF0, message[0] & 0x0F
        if note_on(message):
            self._strike(channel, message[1], message[2])
        elif kind in {NOTE_ON, NOTE_OFF}:
            self._let_go(channel, message[1])
        elif kind == CONTROL:
            self._control(channel, message[1], message[2])

    def cut(self, channel: int | None = None) -> None:
        """End at once what sounds, on one channel or on all."""
        for voice in self._voices:
            if channel in {None, voice.channel}:
                voice.end(CUT)

    def samples(self, count: int) -> Samples:
        """Give the next samples."""
        out = np.zeros(count, np.float32)
        for start in range(0, count, BLOCK):
            part = out[start : start + BLOCK]
            for voice in self._voices:
                voice.add_to(part, self._volumes[voice.channel])
            self._voices = [voice for voice in self._voices if not voice.over]
        return _bend(out)

    def _strike(self, channel: int, key: int, velocity: int) -> None:
        level = (velocity / LOUDEST) ** CURVE
        sound: Sound
        if channel == PERCUSSION:
            sound = self._strokes.get(key, self._strokes[SIDE_STICK])
            level *= STROKE_LEVEL
        else:
            sound = self._tones[key].struck(velocity)
            level *= LEVEL
            for voice in self._on(channel, key):
                voice.end(RELEASE)
        sounding = [voice for voice in self._voices if not voice.ends]
        if len(sounding) >= MOST_NOTES:
            sounding[0].end(CUT)
        if len(self._voices) < 2 * MOST_NOTES:
            self._voices.append(Voice(channel, key, sound, level, self._volumes[channel]))

    def _let_go(self, channel: int, key: int) -> None:
        if channel == PERCUSSION:
            return  # a stroke rings by itself
        for voice in self._on(channel, key):
            if self._dampers[channel]:
                voice.damped = False
            else:
                voice.end(RELEASE)

    def _control(self, channel: int, number: int, value: int) -> None:
        if number == VOLUME:
            self._volumes[channel] = _volume(value)
        elif number in {DAMPER, RESET}:
            self._pedal(channel, down=number == DAMPER and value >= DAMPER_DOWN)
        elif number == SOUND_OFF:
            self.cut(channel)
        elif number == NOTES_OFF:
            for voice in self._voices:
                if voice.channel == channel:
                    self._let_go(channel, voice.key)

    def _pedal(self, channel: int, *, down: bool) -> None:
        self._dampers[channel] = down
        if not down:
            for voice in self._voices:
                if voice.channel == channel and not voice.damped:
                    voice.end(RELEASE)

    def _on(self, channel: int, key: int) -> list[Voice]:
        return [voice for voice in self._voices if (voice.channel, voice.key) == (channel, key)]


def _volume(value: int) -> float:
    return (value / LOUDEST) ** 2


def _bend(out: Samples) -> Samples:
    """Bend what is above the knee, so that no sum of notes is cut off."""
    sizes = np.abs(out)
    if sizes.max(initial=0.0) <= KNEE:
        return out
    room = CEILING - KNEE
    bent = KNEE + room * np.tanh((sizes - KNEE) / room)
    return np.where(sizes > KNEE, np.copysign(bent, out), out).astype(np.float32)
