"""The outputs there are: MIDI ports as the MIDI library sees them, and this computer's loudspeaker.

To look and to open is for processes of their own only: the libraries below print to file
descriptors 1 and 2, and can hang for ever when a sound server has died. ``chartwalk.midi`` runs
``main`` in a child to list the MIDI ports; the clock's process opens an output. Both try the MIDI
systems in the same order: the platform's default first, then the others the library was built with
(JACK, on Linux), which it does not try by itself.
"""

import contextlib
import itertools
import os
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from typing import Any, Final, Protocol, runtime_checkable

BUILT_IN: Final = "this computer's loudspeaker"
CLIENT_NAME: Final = "chartwalk"
OWN_PORT: Final = f"{CLIENT_NAME}: a port of its own, for others to connect to"
MISSING: Final = "missing"  # the library is not installed
NO_SYSTEM: Final = "no system"  # no MIDI system answers, or no sound system
GONE: Final = "gone"  # no port has that name (any more)


class PortError(Exception):
    """No port could be had; the message is MISSING, NO_SYSTEM, GONE, or what the system said."""


class Device(Protocol):
    """An open output, as far as the clock uses it."""

    def get_ports(self) -> list[str]:
        """List the names of the outputs there are now."""

    def send_message(self, message: bytes) -> None:
        """Send one message."""

    def close_port(self) -> None:
        """Close the port; what was sent before still arrives."""

    def delete(self) -> None:
        """Leave the system."""


@runtime_checkable
class Punctual(Protocol):
    """An output that keeps time better than it is sent to, if it knows when a message is due."""

    def send_at(self, message: bytes, due: float) -> None:
        """Send one message that is due at a moment, a little late as a rule."""


def loudspeaker_there() -> bool:
    """Whether what the loudspeaker needs is installed; a sound card may be missing still."""
    return all(find_spec(name) is not None for name in ("miniaudio", "numpy"))


def clients() -> Iterator[Any]:
    """Give one client for each MIDI system that answers; raise PortError(MISSING) without one.

    Whoever takes a client deletes it.
    """
    try:
        import rtmidi  # noqa: PLC0415 - a heavy library that is not always there
    except ImportError:
        raise PortError(MISSING) from None
    for api in rtmidi.get_compiled_api():
        if api != rtmidi.API_RTMIDI_DUMMY:
            with contextlib.suppress(rtmidi.RtMidiError, OSError, RuntimeError):
                yield rtmidi.MidiOut(api, CLIENT_NAME)


def output_names() -> tuple[str, ...]:
    """List the ports of every MIDI system, each name once; raise PortError without a system.

    Where the systems let us make a port of our own (not on Windows) it comes last.
    """
    names: dict[str, None] = {}
    answered = False
    for client in clients():
        answered = True
        names |= dict.fromkeys(client.get_ports())
        client.delete()
    if not answered:
        raise PortError(NO_SYSTEM)
    return tuple(names) if sys.platform == "win32" else (*names, OWN_PORT)


def open_output(name: str) -> Device:
    """Open the output of that name; raise PortError where it can't be had."""
    if name == BUILT_IN:
        return _loudspeaker()
    reason = NO_SYSTEM
    # A sound server that is very busy refuses a client now and then: so a second time round.
    for client in itertools.chain(clients(), clients()):
        reason = GONE
        try:
            if name == OWN_PORT:
                client.open_virtual_port("out")
                return _OwnPort(client)
            client.open_port(client.get_ports().index(name), "out")
        except ValueError:
            client.delete()
        except (OSError, RuntimeError, NotImplementedError) as error:
            client.delete()
            reason = str(error)
        else:
            device: Device = client
            return device
    raise PortError(reason)


class _OwnPort:
    """A port of our own, which others find and connect to; it is there as long as we are."""

    def __init__(self, client: Device) -> None:
        self._client = client
        self.send_message = client.send_message
        self.close_port = client.close_port
        self.delete = client.delete

    def get_ports(self) -> list[str]:
        """List the others' outputs, and this one."""
        return [*self._client.get_ports(), OWN_PORT]


def _loudspeaker() -> Device:
    try:
        from chartwalk.clock.synth.device import Loudspeaker  # noqa: PLC0415 - needs numpy
    except ImportError:
        raise PortError(MISSING) from None
    return Loudspeaker()


def own_pipe(descriptor: int) -> int:
    """Move a pipe away from descriptor 0, 1 or 2; return where it is now.

    The null device takes its place, so that nothing a library prints can end up in the pipe.
    """
    moved = os.dup(descriptor)
    null = os.open(os.devnull, os.O_RDWR)
    os.dup2(null, descriptor)
    os.close(null)
    return moved


def main() -> None:
    """Print what ``output_names`` finds as one line of JSON."""
    import json  # noqa: PLC0415 - the clock's process does without

    pipe = own_pipe(1)
    if hasattr(os, "nice"):
        os.nice(10)  # looking must not hold up a clock that runs
    try:
        outputs, problem = output_names(), ""
    except PortError as error:
        outputs, problem = (), str(error)
    found = {"outputs": outputs, "problem": problem}
    os.write(pipe, json.dumps(found).encode() + b"\n")
    os.close(pipe)
