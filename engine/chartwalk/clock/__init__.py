"""The clock: a process of its own that plays bars of MIDI messages on time, and chords at once.

``schedule`` holds the values it plays, ``client`` is what a screen uses, ``process`` is the child.
Nothing is imported here, so that the child loads no more than it needs.
"""
