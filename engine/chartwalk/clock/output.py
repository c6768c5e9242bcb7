"""The clock's own output: knows what sounds and can always end it.

Without a port every message is dropped and all else goes on the same.

Reference: MIDI 1.0 (note on with velocity 0 is a note off; controllers 64, 120, 123).
"""

from collections.abc import Callable, Iterable
from typing import Final

from chartwalk.clock.messages import Opened
from chartwalk.clock.ports import (
    BUILT_IN,
    GONE,
    MISSING,
    NO_SYSTEM,
    Device,
    PortError,
    Punctual,
    open_output,
)
from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON

CONTROL: Final = 0xB0
RELEASE_VELOCITY: Final = 64
RELEASE: Final = (64, 123, 120)  # damper up, all notes off, all sound off: in this order
CHANNELS: Final = range(16)
STOP: Final = bytes([0xFC])
TRANSPORT: Final = frozenset({0xFA, 0xFB, 0xFC})  # start, continue, stop

REASONS: Final = {
    "": "no MIDI port is chosen",
    MISSING: "MIDI support is not installed",
    NO_SYSTEM: "no MIDI system answers",
    GONE: "the MIDI port {name!r} is not there; connect it again or choose another",
}
LOUDSPEAKER_REASONS: Final = {
    MISSING: "this computer's loudspeaker needs python -m pip install 'chartwalk[sound]'",
    NO_SYSTEM: "no loudspeaker or headphones of this computer can be had",
    GONE: "this computer's loudspeaker takes no more sound; choose it again or another output",
}


def note_on(message: bytes) -> bool:
    """Whether a message starts a note.

    >>> note_on(bytes([0x99, 76, 100])), note_on(bytes([0x99, 76, 0]))
    (True, False)
    """
    return message[0] & 0xF0 == NOTE_ON and message[2] > 0


class Output:
    """One port, or silence, and the notes that sound on it."""

    def __init__(self, opener: Callable[[str], Device] = open_output) -> None:
        self.name = ""
        self._opener = opener
        self._device: Device | None = None
        self._punctual: Punctual | None = None  # the same device, if it is that
        self._sounding: set[tuple[int, int]] = set()
        self._used: set[int] = set()
        self._started = False  # whether a drummer follows our MIDI clock, or did on a lost port
        self._fault: Opened | None = None

    def open(self, name: str) -> Opened:
        """Release and close the port that is open, then open another; no name means none."""
        self.close()
        self._fault = None
        if not name:
            return Opened("", REASONS[""])
        try:
            self._device = self._opener(name)
        except PortError as error:
            return Opened("", self._why(str(error), name))
        self._punctual = self._device if isinstance(self._device, Punctual) else None
        self.name = name
        self._stop_followers()
        return Opened(name, "")

    def send(self, message: bytes, due: float | None = None) -> None:
        """Send one message and remember what sounds; ``due`` is when it should have been sent."""
        if self._device is None:
            return
        kind, channel = message[0] & 0xF0, message[0] & 0x0F
        if kind < 0xF0:
            self._used.add(channel)
        if note_on(message):
            self._sounding.add((channel, message[1]))
        elif kind in {NOTE_ON, NOTE_OFF}:
            self._sounding.discard((channel, message[1]))
        elif message[0] in TRANSPORT:
            self._started = message != STOP
        self._pass_on(message, due)

    def end(self, channel: int, note: int) -> None:
        """End one note if it sounds."""
        if (channel, note) in self._sounding:
            self.send(bytes([NOTE_OFF | channel, note, RELEASE_VELOCITY]))

    def end_notes(self) -> None:
        """End every note that sounds."""
        for channel, note in sorted(self._sounding):
            self._pass_on(bytes([NOTE_OFF | channel, note, RELEASE_VELOCITY]))
        self._sounding.clear()

    def release(self, channels: Iterable[int] | None = None) -> None:
        """End every note that sounds, stop who follows our clock, reset the channels used.

        Those are the channels used since the last time. Of others nothing hangs, and a player's own
        notes may sound there. ``channels`` are reset whatever they were used for.
        """
        self._stop_followers()
        self.end_notes()
        for channel in sorted(self._used) if channels is None else channels:
            for controller in RELEASE:
                self._pass_on(bytes([CONTROL | channel, controller, 0]))
        self._used.clear()

    def close(self) -> None:
        """Release what sounds and close the port."""
        self.release()
        device, self._device, self._punctual = self._device, None, None
        self.name = ""
        if device is not None:
            device.close_port()  # a process that ends without this loses the last messages
            device.delete()

    def check(self) -> None:
        """Look whether the port is still there; takes up to some milliseconds."""
        if self._device is not None and self.name not in self._device.get_ports():
            self._lose(GONE)

    def gone(self, name: str) -> None:
        """Let go of the open port if it has that name: others see that it is gone.

        Takes a second where its sound server has died.
        """
        if self._device is not None and self.name == name:
            self._lose(GONE)

    def take_fault(self) -> Opened | None:
        """Give, once, how the port was lost."""
        fault, self._fault = self._fault, None
        return fault

    def _stop_followers(self) -> None:
        """Stop who follows our clock; where the port is lost, the next one that opens hears it."""
        if self._started:
            self._pass_on(STOP)
            self._started = self._device is None

    def _pass_on(self, message: bytes, due: float | None = None) -> None:
        if self._device is None:
            return
        try:
            if self._punctual is None or due is None:
                self._device.send_message(message)
            else:
                self._punctual.send_at(message, due)
        except (OSError, RuntimeError) as error:
            self._lose(str(error))

    def _lose(self, reason: str) -> None:
        self._fault = Opened("", self._why(reason, self.name))
        device, self._device, self._punctual = self._device, None, None
        self._sounding.clear()
        self.name = ""
        if device is not None:
            device.delete()

    @staticmethod
    def _why(reason: str, name: str) -> str:
        if name == BUILT_IN:
            return LOUDSPEAKER_REASONS.get(reason, f"{name} failed: {reason}")
        return REASONS.get(reason, "the MIDI port {name!r} failed: " + reason).format(name=name)
