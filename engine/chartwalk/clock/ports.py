"""MIDI outputs as the MIDI library sees them.

For processes of their own only: the libraries below print to file descriptors 1 and 2, and can
hang for ever when a sound server has died. ``chartwalk.midi`` runs ``main`` in a child to list the
ports; the clock's process opens one. Both try the systems in the same order: the platform's default
first, then the others the library was built with (JACK, on Linux), which it does not try by itself.
"""

import contextlib
import itertools
import os
from collections.abc import Iterator
from typing import Any, Final, Protocol

CLIENT_NAME: Final = "chartwalk"
MISSING: Final = "missing"  # the MIDI library is not installed
NO_SYSTEM: Final = "no system"  # no MIDI system answers
GONE: Final = "gone"  # no port has that name (any more)


class PortError(Exception):
    """No port could be had; the message is MISSING, NO_SYSTEM, GONE, or what the system said."""


class Device(Protocol):
    """An open MIDI output, as far as the clock uses it."""

    def get_ports(self) -> list[str]:
        """List the names of the outputs there are now."""

    def send_message(self, message: bytes) -> None:
        """Send one message."""

    def close_port(self) -> None:
        """Close the port; what was sent before still arrives."""

    def delete(self) -> None:
        """Leave the MIDI system."""


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
    """List the outputs of every system, each name once; raise PortError where there is none."""
    names: dict[str, None] = {}
    answered = False
    for client in clients():
        answered = True
        names |= dict.fromkeys(client.get_ports())
        client.delete()
    if not answered:
        raise PortError(NO_SYSTEM)
    return tuple(names)


def open_output(name: str) -> Device:
    """Open the output of that name; raise PortError where it can't be had."""
    reason = NO_SYSTEM
    # A sound server that is very busy refuses a client now and then: so a second time round.
    for client in itertools.chain(clients(), clients()):
        reason = GONE
        try:
            client.open_port(client.get_ports().index(name), "out")
        except ValueError:
            client.delete()
        except (OSError, RuntimeError) as error:
            client.delete()
            reason = str(error)
        else:
            device: Device = client
            return device
    raise PortError(reason)


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
