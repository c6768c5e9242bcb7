"""The bytes of the click, read by a MIDI library from outside the project."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import mido

from chartwalk.chart import Bar


def test_mido_reads_the_click_as_wood_blocks_on_channel_ten(
    bar: Callable[..., Bar], write: Callable[..., Any]
) -> None:
    # mido 1.3.3 counts channels from 0; General MIDI level 1: 76 high, 77 low wood block.
    (played,) = write([bar("4/4")], 0).bars
    messages = [mido.Message.from_bytes(event.message) for event in played.events]
    assert {message.channel for message in messages} == {9}
    assert [m.note for m in messages if m.type == "note_on"] == [76, 77, 77, 77]
    assert all(m.velocity > 0 for m in messages if m.type == "note_on")
    # Every click is released before the next one sounds.
    assert [m.type for m in messages] == ["note_on", "note_off"] * 4
    assert all(on.note == off.note for on, off in list(pairwise(messages))[::2])
