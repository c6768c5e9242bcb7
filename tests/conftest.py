"""What all tests share."""

import gc

from hypothesis import settings

# The same examples on every run: a failure found once is found again, and none comes by chance.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


def pytest_collection_finish() -> None:
    """Look for garbage seldom, and not in what is imported by now: it took a fifth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 100)
