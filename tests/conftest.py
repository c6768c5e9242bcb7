"""What all tests share."""

from hypothesis import settings

# The same examples on every run: a failure found once is found again, and none comes by chance.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
