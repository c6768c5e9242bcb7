"""Frames: what is written is read again, wherever the bytes are cut."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartwalk.clock import messages as say
from chartwalk.clock.schedule import DATA_BYTES, Event, ScheduledBar
from chartwalk.clock.state import State
from chartwalk.clock.wire import (
    EVENTS_A_FRAME,
    MAX_FRAME,
    MAX_TEXT,
    SYNC,
    BarBuilder,
    Decoder,
    bar_messages,
    encode,
)

whole = st.integers(0, 2**32 - 1)
number = st.floats(allow_nan=False)
text = st.text().filter(lambda text: len(text.encode()) <= MAX_TEXT)
ticks = st.integers(0, 2**31 - 2)


@st.composite
def short_messages(draw: st.DrawFn) -> bytes:
    status, count = draw(st.sampled_from(sorted(DATA_BYTES.items())))
    data = draw(st.lists(st.integers(0, 127), min_size=count, max_size=count))
    return bytes([status, *data])


events = st.builds(Event, ticks, short_messages())
any_message = st.one_of(
    st.sampled_from([say.Clear(), say.Stop(), say.Silence(), say.Quit()]),
    st.builds(say.AddBar, whole, number, whole),
    st.builds(say.AddEvents, st.lists(events, max_size=20).map(tuple)),
    st.builds(say.Start, whole, whole),
    st.builds(say.Rate, number),
    st.builds(say.Replace, whole, whole),
    st.builds(
        lambda keys, gap: say.Strike(tuple(sorted(keys)), gap),
        st.sets(st.integers(0, 127)),
        st.integers(0, 1000),
    ),
    st.builds(say.Open, text),
    st.builds(say.Gone, text),
    st.builds(say.Ready, text),
    st.builds(say.Opened, text, text),
    st.builds(say.Anchor, whole, number, whole, number, number, st.sampled_from(State)),
    st.builds(say.Ended, whole),
    st.builds(say.Failed, text),
    st.builds(say.Heartbeat, whole, number, number, number),
)


@given(st.lists(any_message, max_size=8), st.data())
def test_what_is_written_is_read_again_however_it_is_cut(
    said: list[say.Message], data: st.DataObject
) -> None:
    stream = b"".join(map(encode, said))
    cuts = sorted(data.draw(st.lists(st.integers(0, len(stream)), max_size=6)))
    decoder = Decoder()
    read = [
        message
        for start, end in zip([0, *cuts], [*cuts, len(stream)], strict=True)
        for message in decoder.feed(stream[start:end])
    ]
    assert read == said


@given(st.lists(st.tuples(st.text(), any_message), max_size=6), st.text())
def test_text_between_frames_is_stepped_over(
    said: list[tuple[str, say.Message]], rest: str
) -> None:
    stream = b"".join(noise.encode() + encode(message) for noise, message in said)
    assert list(Decoder().feed(stream + rest.encode())) == [message for _, message in said]


@given(st.binary(max_size=200))
def test_noise_never_raises(noise: bytes) -> None:
    list(Decoder().feed(noise + SYNC + noise))


@pytest.mark.parametrize(
    "frame",
    [
        SYNC + bytes([200, 0, 0]),  # a number that means nothing
        SYNC + bytes([4, 3, 0, 1, 2, 3]),  # too short for its kind
        SYNC + bytes([66, 2, 0, 9, 65]),  # a text that ends too soon
        SYNC + bytes([69, 2, 0, 1, 255]),  # a text that is not UTF-8
        SYNC + bytes([3, 8, 0, 0, 0, 0, 0, 3, 1, 2, 3]),  # no MIDI message
        SYNC + bytes([67, 33, 0]) + bytes(32) + b"\x09",  # no state
        SYNC + bytes([10, 3, 0, 0, 0, 128]),  # no MIDI key
        SYNC + bytes([10, 4, 0, 0, 0, 64, 60]),  # keys that go down
        SYNC + bytes([10, 2, 0, 233, 3]),  # a gap of 1001 ms
        SYNC + bytes([10, 1, 0, 0]),  # half a gap
        SYNC + bytes([11, 4, 0, 0, 0, 0, 0]),  # how many bars come is not said
    ],
)
def test_a_frame_that_makes_no_sense_is_skipped(frame: bytes) -> None:
    assert list(Decoder().feed(frame + encode(say.Stop()))) == [say.Stop()]


def test_a_length_that_no_frame_has_is_no_frame() -> None:
    assert list(Decoder().feed(SYNC + b"\x03\xff\xff" + encode(say.Quit()))) == [say.Quit()]


@pytest.mark.parametrize("length", [1, 119, 240, 1000])
def test_frames_downwards_are_taken_whole_by_any_pipe(length: int) -> None:
    long = "é" * length
    for message in (say.Ready(long), say.Opened(long, long), say.Failed(long)):
        assert len(encode(message)) < 512
        assert list(Decoder().feed(encode(message)))


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        encode(say.Start(-1, 0))
    with pytest.raises(ValueError, match="too long"):
        encode(say.AddEvents((Event(0, b"\xf8"),) * (EVENTS_A_FRAME + 1)))


@given(st.integers(0, 3 * EVENTS_A_FRAME), st.floats(1e-6, 1.0))
def test_a_bar_of_any_size_goes_through_in_small_frames(count: int, seconds: float) -> None:
    bar = ScheduledBar(960, seconds, tuple(Event(i * 900 // 2000, b"\xf8") for i in range(count)))
    frames = [encode(message) for message in bar_messages(bar)]
    assert max(map(len, frames)) <= MAX_FRAME
    builder = BarBuilder()
    built = []
    for message in Decoder().feed(b"".join(frames)):
        assert isinstance(message, say.AddBar | say.AddEvents)
        built.append(builder.add(message))
    assert built == [None] * (len(frames) - 1) + [bar]


def test_bars_out_of_turn_are_refused_and_the_next_one_is_taken() -> None:
    builder = BarBuilder()
    with pytest.raises(ValueError, match="without a bar"):
        builder.add(say.AddEvents(()))
    assert builder.add(say.AddBar(960, 0.1, 1)) is None
    with pytest.raises(ValueError, match="before it was whole"):
        builder.add(say.AddBar(480, 0.1, 1))
    assert builder.add(say.AddEvents((Event(0, b"\xf8"),))) == ScheduledBar(
        480, 0.1, (Event(0, b"\xf8"),)
    )


def test_a_bar_that_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="no time"):
        BarBuilder().add(say.AddBar(960, math.inf, 0))
