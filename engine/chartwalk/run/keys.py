"""A key can sound only once at a time: what holds when parts share a channel and meet on a key.

An instrument ends a key with the first note off, whoever sent it. So a key that is struck while it
sounds is ended and struck again, and it sounds until the last note on it is over; notes that begin
together are one, as loud as the loudest (common practice, no source).
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from chartwalk.clock.schedule import NOTE_OFF, NOTE_ON, Event


class Key(NamedTuple):
    """A key of a channel, both as they are in the messages."""

    channel: int
    number: int


def key_of(message: bytes) -> Key:
    """Return the key that a note on or a note off is about."""
    return Key(message[0] & 0x0F, message[1])


def note_off(key: Key) -> bytes:
    """Return the message that ends a key."""
    return bytes([NOTE_OFF | key.channel, key.number, 0])


def untangled(events: Sequence[Event], sounding: Mapping[Key, int]) -> list[Event]:
    """Return the events of a bar, in order, with no key struck or ended while another holds it.

    ``sounding`` tells how many notes hold each key when the bar begins.

    >>> on, off = bytes([0x90, 60, 80]), bytes([0x80, 60, 0])
    >>> both = [Event(0, on), Event(480, on), Event(960, off), Event(1440, off)]
    >>> [(event.tick, event.message == on) for event in untangled(both, {})]
    [(0, True), (480, False), (480, True), (1440, False)]
    """
    held = dict(sounding)
    struck: dict[Key, int] = {}  # where in the result each key was struck last
    found: list[Event] = []
    for event in events:
        kind = event.message[0] & 0xF0
        if kind not in {NOTE_ON, NOTE_OFF}:
            found.append(event)
            continue
        key = key_of(event.message)
        held[key] = held.get(key, 0) + (1 if kind == NOTE_ON else -1)
        if kind == NOTE_OFF:
            if not held[key]:
                found.append(event)
            continue
        if held[key] > 1:
            place = struck.get(key)
            if place is not None and found[place].tick == event.tick:
                found[place] = max(found[place], event, key=lambda it: it.message[2])
                continue
            found.append(Event(event.tick, note_off(key)))
        struck[key] = len(found)
        found.append(event)
    return found
