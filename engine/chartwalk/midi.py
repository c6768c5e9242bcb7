"""The outputs of this computer: which there are, and which one the click goes to.

MIDI ports are looked for in a child process: the libraries below print to the terminal from C and
can hang when a sound server has died, and neither may reach the screen. The loudspeaker comes after
them where what it needs is installed.
"""

import json
import platform
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chartwalk.clock.ports import BUILT_IN, CLIENT_NAME, MISSING, NO_SYSTEM, loudspeaker_there
from chartwalk.clock.spawn import module_command

# There are no wheels of miniaudio for other machines with Linux or Windows.
_LOUDSPEAKER: Final = (
    "run python -m pip install 'chartwalk[sound]' for sound from this computer, or "
    if sys.platform == "darwin" or platform.machine() in {"x86_64", "AMD64"}
    else ""
)
_CONNECT_LINUX: Final = (
    f"No MIDI system answers: {_LOUDSPEAKER}connect a keyboard by USB, load the ALSA sequencer "
    "with 'sudo modprobe snd-seq', or start JACK."
)
_CONNECT: Final = f"No MIDI system answers: {_LOUDSPEAKER}connect a keyboard by USB and look again."
_FAILED: Final = "The MIDI system failed when asked for its ports: restart it, then look again."
_HUNG: Final = "The MIDI system does not answer: restart it (or JACK), then look again."
NO_OUTPUT: Final = (
    f"No MIDI output is connected: {_LOUDSPEAKER}connect a keyboard by USB and look again."
)
PROBLEMS: Final = {
    MISSING: (
        f"MIDI support is not installed: {_LOUDSPEAKER}run python -m pip install 'chartwalk[midi]' "
        "for a keyboard (on Python 3.13 and newer this needs a C++ compiler)."
    ),
    NO_SYSTEM: _CONNECT_LINUX if sys.platform.startswith("linux") else _CONNECT,
}

# Parts of the names of ports that lead back into the computer, or are our own.
_LOOPS: Final = ("midi through", "midi thru", "loop", "iac ", "virtual raw midi", CLIENT_NAME)
# A synthesizer the system always has: good enough where nothing else is connected.
_SPARES: Final = ("wavetable",)


@dataclass(frozen=True, slots=True)
class Ports:
    """The outputs there are; ``problem`` says in one line what to do.

    There is one where there is no output, or where the MIDI system fails: then the loudspeaker may
    be there all the same.
    """

    outputs: tuple[str, ...] = ()
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """The port that was chosen, or None, and a line that says why."""

    port: str | None
    note: str


def output_ports(timeout: float = 3.0, *, command: Sequence[str] | None = None) -> Ports:
    """List all outputs, the loudspeaker last, as ``midi_ports`` does."""
    found = midi_ports(timeout, command=command)
    if not loudspeaker_there():
        return found
    trouble = found.problem if found.problem in {_FAILED, _HUNG} else None
    return Ports((*found.outputs, BUILT_IN), trouble)


def midi_ports(timeout: float = 3.0, *, command: Sequence[str] | None = None) -> Ports:
    """List the MIDI ports alone, in at most ``timeout`` seconds; never raises.

    ``command`` prints what ``chartwalk.clock.ports`` finds; tests pass one of their own.
    """
    try:
        answer = subprocess.run(
            command or module_command("chartwalk.clock.ports"),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=timeout,
            check=True,
            start_new_session=True,
        ).stdout
        found = json.loads(answer)
        outputs, problem = tuple(map(str, found["outputs"])), str(found["problem"])
    except subprocess.TimeoutExpired:
        return Ports(problem=_HUNG)
    except (OSError, subprocess.SubprocessError, ValueError, KeyError, TypeError):
        return Ports(problem=_FAILED)
    if problem:
        return Ports(problem=PROBLEMS.get(problem, _FAILED))
    return Ports(outputs, None if outputs else NO_OUTPUT)


def first_real(ports: Ports) -> str | None:
    """Choose the first port that leads to an instrument; else the loudspeaker, else a spare.

    >>> first_real(Ports(("Midi Through:Midi Through Port-0 14:0", "Piano:Piano MIDI 1 20:0")))
    'Piano:Piano MIDI 1 20:0'
    """
    outside = [name for name in ports.outputs if not _has(name, _LOOPS)]
    return min(outside, key=_rank, default=None)


def choose(ports: Ports, wanted: str | None) -> Choice:
    """Choose the port of that name, or whose name holds it; without a name, the first real one.

    >>> choose(Ports(("Piano:Piano MIDI 1 20:0",)), "piano").port
    'Piano:Piano MIDI 1 20:0'
    >>> choose(Ports(("Piano 20:0",)), "organ").note
    "No MIDI output is called 'organ'. There is: Piano 20:0."
    """
    if not ports.outputs:
        return Choice(None, ports.problem or NO_OUTPUT)
    if wanted is None:
        port = first_real(ports)
        return Choice(port, f"sound goes to {port}" if port else NO_OUTPUT)
    matching = [name for name in ports.outputs if name == wanted] or [
        name for name in ports.outputs if wanted.casefold() in name.casefold()
    ]
    if matching:
        return Choice(matching[0], f"sound goes to {matching[0]}")
    there = ", ".join(ports.outputs)
    missed = f"No MIDI output is called {wanted!r}. There is: {there}."
    return Choice(None, ports.problem or missed)


def _rank(name: str) -> int:
    """How far a port is from what a player wants."""
    return 2 if _has(name, _SPARES) else int(name == BUILT_IN)


def _has(name: str, parts: Sequence[str]) -> bool:
    return any(part in name.casefold() for part in parts)
