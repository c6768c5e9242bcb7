"""This computer's loudspeaker as an output of the clock, through miniaudio.

miniaudio asks for samples in a thread of its own. It prints while it looks for a sound system: for
a process of its own only, with the descriptors 1 and 2 on the null device.
"""

import contextlib
import gc
import sys
import time
from collections.abc import Generator, Sequence
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from chartwalk.clock.moment import moment
from chartwalk.clock.ports import BUILT_IN, CLIENT_NAME, MISSING, NO_SYSTEM, PortError
from chartwalk.clock.synth import PERIOD, PERIODS, RATE
from chartwalk.clock.synth.stream import Stream

SIDES: Final = 2  # the same on both; not every sound system takes a single one
TURN: Final = 0.000_5  # seconds that one thread keeps the others waiting, at most
QUIET: Final = 0.1  # seconds in which what sounds has certainly ended, if samples are taken at all
STILL: Final = 2  # looks in a row without a sample taken, after which the device is gone
NO_SOUND: Final = frozenset({"NULL", "CUSTOM"})  # systems of miniaudio that nobody hears


class Loudspeaker:
    """The sound system's first choice of a device, open and playing; silence at first.

    ``systems`` are names of miniaudio's backends, tried in turn; without them all that can be
    heard. Raises PortError: MISSING without miniaudio, NO_SYSTEM where no device can be had.
    """

    def __init__(self, systems: Sequence[str] = ()) -> None:
        sys.setswitchinterval(TURN)
        self._stream = Stream()
        self._requests = 0
        self._seen = 0  # how many there were at the last look
        self._still = 0
        self._device = self._open(systems)

    def get_ports(self) -> list[str]:
        """List this output while it plays. Asked about once a second it tells of a loss in two."""
        requests = self._requests
        self._still = self._still + 1 if requests == self._seen else 0
        self._seen = requests
        return [] if self._still >= STILL else [BUILT_IN]

    def send_message(self, message: bytes) -> None:
        """Have a message take effect as soon as can be."""
        self._stream.send(message)

    def send_at(self, message: bytes, due: float) -> None:
        """Have a message take effect at a fixed time after it is due."""
        self._stream.send(message, due)

    def close_port(self) -> None:
        """Let what sounds die away and wait until that has been heard; takes some 50 ms."""
        self._stream.hush()
        end = time.monotonic() + QUIET
        while not self._stream.silent and time.monotonic() < end:
            time.sleep(PERIOD / 2)
        time.sleep(PERIODS * PERIOD)

    def delete(self) -> None:
        """Stop taking samples and let go of the device."""
        self._device.close()

    def _frames(self) -> Generator[bytes | npt.NDArray[np.float32], int, None]:
        count = yield b""
        while True:
            self._requests += 1
            samples = self._stream.fill(count, moment())
            count = yield np.repeat(samples, SIDES)

    def _open(self, systems: Sequence[str]) -> Any:  # noqa: ANN401 - miniaudio has no types
        try:
            import miniaudio  # noqa: PLC0415 - not always there
        except ImportError:
            raise PortError(MISSING) from None
        for system in sorted(miniaudio.get_enabled_backends(), key=lambda it: it.value):
            if system.name not in systems if systems else system.name in NO_SOUND:
                continue
            with contextlib.suppress(miniaudio.MiniaudioError):
                device = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.FLOAT32,
                    nchannels=SIDES,
                    sample_rate=RATE,
                    buffersize_msec=round(PERIOD * 1000),
                    callback_periods=PERIODS,
                    backends=[system],
                    app_name=CLIENT_NAME,
                )
                frames = self._frames()
                next(frames)
                device.start(frames)
                return device
        gc.collect()  # a device that failed leaves a circle, and the clock collects none by itself
        raise PortError(NO_SYSTEM)
