"""What the screen and the clock say to each other: small binary frames over a pipe each way.

A frame is two bytes of sync that no UTF-8 text holds, a byte for the kind, the length of what
follows as two bytes, and the fields, little-endian. A frame upwards stays below 4096 bytes, so a
bar with many events takes several; a frame downwards stays below 512 bytes, the least that POSIX
lets a pipe take whole or not at all, so that a full pipe never tears one.
"""

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from typing import Any, Final

from chartwalk.clock.messages import (
    AddBar,
    AddEvents,
    Anchor,
    Clear,
    Ended,
    Failed,
    Gone,
    Heartbeat,
    Message,
    Open,
    Opened,
    Quit,
    Rate,
    Ready,
    Replace,
    Silence,
    Start,
    Stop,
    Strike,
)
from chartwalk.clock.schedule import Event, ScheduledBar
from chartwalk.clock.state import State

SYNC: Final = b"\xff\xc1"
MAX_FRAME: Final = 4095
MAX_TEXT: Final = 240  # bytes of UTF-8; two texts in a frame stay below 512
_HEADER: Final = struct.Struct("<2sBH")
_EVENT: Final = struct.Struct("<IB3s")
EVENTS_A_FRAME: Final = (MAX_FRAME - _HEADER.size) // _EVENT.size


@dataclass(frozen=True, slots=True)
class _Codec:
    kind: type[Any]
    pack: Callable[[Any], bytes]
    unpack: Callable[[bytes], Any]


def _fixed(kind: type[Any], layout: str) -> _Codec:
    """Build the codec of a message whose fields are numbers."""
    numbers = struct.Struct("<" + layout)
    names = [field.name for field in fields(kind)]
    return _Codec(
        kind,
        lambda message: numbers.pack(*(getattr(message, name) for name in names)),
        lambda data: kind(*numbers.unpack(data)),
    )


def _texts(kind: type[Any]) -> _Codec:
    """Build the codec of a message whose fields are texts; long ones are cut."""
    names = [field.name for field in fields(kind)]

    def pack(message: object) -> bytes:
        texts = (_cut(getattr(message, name)) for name in names)
        return b"".join(bytes([len(text)]) + text for text in texts)

    def unpack(data: bytes) -> object:
        texts = []
        for _ in names:
            if not data or len(data) <= data[0]:
                raise ValueError("a text ends too soon")
            texts.append(data[1 : data[0] + 1].decode())
            data = data[data[0] + 1 :]
        return kind(*texts)

    return _Codec(kind, pack, unpack)


def _cut(text: str) -> bytes:
    data = text.encode(errors="replace")[:MAX_TEXT]
    return data.decode(errors="ignore").encode()


def _pack_events(message: AddEvents) -> bytes:
    return b"".join(
        _EVENT.pack(event.tick, len(event.message), event.message) for event in message.events
    )


def _unpack_events(data: bytes) -> AddEvents:
    return AddEvents(
        tuple(Event(tick, message[:size]) for tick, size, message in _EVENT.iter_unpack(data))
    )


_ANCHOR: Final = struct.Struct("<IdIddB")


def _pack_anchor(it: Anchor) -> bytes:
    return _ANCHOR.pack(it.run, it.moment, it.bar, it.tick, it.tick_seconds, it.state.value)


def _unpack_anchor(data: bytes) -> Anchor:
    run, moment, bar, tick, tick_seconds, state = _ANCHOR.unpack(data)
    return Anchor(run, moment, bar, tick, tick_seconds, State(state))


_GAP: Final = struct.Struct("<H")


def _pack_strike(it: Strike) -> bytes:
    return _GAP.pack(it.gap) + bytes(it.keys)


def _unpack_strike(data: bytes) -> Strike:
    (gap,) = _GAP.unpack(data[: _GAP.size])
    return Strike(tuple(data[_GAP.size :]), gap)


_CODECS: Final[dict[int, _Codec]] = {
    1: _fixed(Clear, ""),
    2: _fixed(AddBar, "IdI"),
    3: _Codec(AddEvents, _pack_events, _unpack_events),
    4: _fixed(Start, "II"),
    5: _fixed(Rate, "d"),
    6: _fixed(Stop, ""),
    7: _fixed(Silence, ""),
    8: _texts(Open),
    9: _fixed(Quit, ""),
    10: _Codec(Strike, _pack_strike, _unpack_strike),
    11: _fixed(Replace, "II"),
    32: _texts(Gone),
    65: _texts(Ready),
    66: _texts(Opened),
    67: _Codec(Anchor, _pack_anchor, _unpack_anchor),
    68: _fixed(Ended, "I"),
    69: _texts(Failed),
    70: _fixed(Heartbeat, "Iddd"),
}
_NUMBERS: Final = {codec.kind: number for number, codec in _CODECS.items()}


def encode(message: Message) -> bytes:
    """Write one message as a frame; raise ValueError where it does not fit.

    >>> encode(Stop()).hex(" ")
    'ff c1 06 00 00'
    """
    number = _NUMBERS[type(message)]
    try:
        data = _CODECS[number].pack(message)
    except struct.error as error:
        raise ValueError(f"{message} does not fit a frame: {error}") from None
    if _HEADER.size + len(data) > MAX_FRAME:
        raise ValueError(f"a frame of {len(data)} bytes is too long")
    return _HEADER.pack(SYNC, number, len(data)) + data


def bar_messages(bar: ScheduledBar) -> Iterator[AddBar | AddEvents]:
    """Say a bar in as many messages as its events need."""
    yield AddBar(bar.ticks, bar.tick_seconds, len(bar.events))
    for start in range(0, len(bar.events), EVENTS_A_FRAME):
        yield AddEvents(bar.events[start : start + EVENTS_A_FRAME])


class Decoder:
    """Turns bytes, cut anywhere, back into messages; steps over what it can't read."""

    def __init__(self) -> None:
        self._buffer = bytearray()

    def feed(self, data: bytes) -> Iterator[Message]:
        """Give the messages that are whole after these bytes.

        >>> frame, decoder = encode(Start(1, 2)), Decoder()
        >>> list(decoder.feed(b"noise" + frame[:4])), list(decoder.feed(frame[4:]))
        ([], [Start(run=1, first=2)])
        """
        self._buffer += data
        while (frame := self._next_frame()) is not None:
            number, payload = frame
            codec = _CODECS.get(number)
            try:
                if codec is None:
                    raise ValueError(f"no message has the number {number}")
                message: Message = codec.unpack(payload)
            except (struct.error, ValueError):
                continue
            yield message

    def _next_frame(self) -> tuple[int, bytes] | None:
        buffer = self._buffer
        while True:
            start = buffer.find(SYNC)
            if start < 0:
                del buffer[: len(buffer) - buffer.endswith(SYNC[:1])]
                return None
            del buffer[:start]
            if len(buffer) < _HEADER.size:
                return None
            _, number, size = _HEADER.unpack_from(buffer)
            if _HEADER.size + size <= MAX_FRAME:
                break
            del buffer[:1]  # no frame is that long: look for the next one
        if len(buffer) < _HEADER.size + size:
            return None
        payload = bytes(buffer[_HEADER.size : _HEADER.size + size])
        del buffer[: _HEADER.size + size]
        return number, payload


class BarBuilder:
    """Puts the bars of a schedule together from their messages."""

    def __init__(self) -> None:
        self._head: AddBar | None = None
        self._events: list[Event] = []

    def add(self, message: AddBar | AddEvents) -> ScheduledBar | None:
        """Take one message and give the bar if it is whole now; raise ValueError if it is wrong."""
        if isinstance(message, AddBar):
            whole = self._head is None
            self._head, self._events = message, []
            if not whole:
                raise ValueError("a bar came before the one before it was whole")
        else:
            self._events += message.events
        head = self._head
        if head is None:
            raise ValueError("events came without a bar")
        if len(self._events) < head.count:
            return None
        self._head = None
        return ScheduledBar(head.ticks, head.tick_seconds, tuple(self._events))
