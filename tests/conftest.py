"""What all tests share."""

import gc
import signal

from hypothesis import settings

# The same examples on every run: a failure found once is found again, and none comes by chance.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")

# A shell that runs the tests in the background has them, and what they start, ignore Ctrl+C.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_finish() -> None:
    """Look for garbage seldom, and not in what is imported by now: it took a fifth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 100)
