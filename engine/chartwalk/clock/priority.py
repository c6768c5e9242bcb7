"""Asks the system to let the clock run on time, and goes on without what it refuses.

A real-time priority needs a privilege that most accounts lack; timer slack and the scheduler's
slice (Linux 6.12 and newer) need none.
"""

import contextlib
import os
import struct
import sys
from typing import Final

REAL_TIME: Final = "real time"
REAL_TIME_PRIORITY: Final = 20  # below the sound server's own threads
NICE: Final = -10
SLACK_NS: Final = 1
SLICE_NS: Final = 100_000
_PR_SET_TIMERSLACK: Final = 29
_SCHED_SETATTR: Final = {"x86_64": 314, "aarch64": 274, "riscv64": 274, "armv7l": 380, "i686": 351}
_SCHED_ATTR: Final = struct.Struct("=IIQiIQQQ")  # size, policy, flags, nice, priority, three times


def raise_priority() -> str:
    """Ask for all that helps; return the names of what was granted."""
    if sys.platform == "win32":
        return "high"  # asked for when the process is started
    if _real_time():
        return REAL_TIME
    granted = ["nice"] if _nice() else []
    if sys.platform == "linux":
        granted += _fine_timers()
    return ", ".join(granted) or "normal"


def _real_time() -> bool:
    if sys.platform != "linux":
        return False
    with contextlib.suppress(OSError):
        policy = os.SCHED_FIFO | os.SCHED_RESET_ON_FORK
        os.sched_setscheduler(0, policy, os.sched_param(REAL_TIME_PRIORITY))
        return True
    return False


def _nice() -> bool:
    with contextlib.suppress(OSError):
        os.setpriority(os.PRIO_PROCESS, 0, NICE)
        return True
    return False


def _fine_timers() -> list[str]:
    import ctypes  # noqa: PLC0415 - only where no real-time priority was granted

    granted = []
    try:
        libc = ctypes.CDLL(None)
        if libc.prctl(_PR_SET_TIMERSLACK, ctypes.c_ulong(SLACK_NS), 0, 0, 0) == 0:
            granted.append("timer slack")
        number = _SCHED_SETATTR.get(os.uname().machine)
        if number is not None:
            nice = os.getpriority(os.PRIO_PROCESS, 0)
            attributes = ctypes.create_string_buffer(
                _SCHED_ATTR.pack(_SCHED_ATTR.size, 0, 0, nice, 0, SLICE_NS, 0, 0)
            )
            if libc.syscall(ctypes.c_long(number), 0, attributes, 0) == 0:
                granted.append("slice")
    except (OSError, AttributeError):
        pass
    return granted
