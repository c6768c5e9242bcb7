"""A chord's place in the key, and the key itself where it is in doubt: worked out by music21.

music21 takes about a second to import and would hold up whatever shares its interpreter, so it
lives in a process of its own (``worker``). ``analyst`` has what a screen uses to ask it.
"""

from chartwalk.analysis.guess import KeyGuess, main_key

__all__ = ["KeyGuess", "main_key"]
