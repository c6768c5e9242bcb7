"""Whatever a chart holds: every line is text that a voice can say, and none is endless."""

import re
import unicodedata
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.charts_at_random import SYMBOLS, charts
from tests.plain.listener import Listener

from chartwalk.chart import Chart
from chartwalk.chord import ChordSymbol
from chartwalk.chord.relatives import NEAR, other_spellings
from chartwalk.roadmap import Step
from chartwalk.song import Song
from chartwalk_tui.plain.chords import symbol_words
from chartwalk_tui.plain.speech import spoken, spoken_lines

SPEECH = re.compile(
    r"[A-G]( (double )?(sharp|flat))*( (natural|with|minor|major|half|diminished|augmented|sus|add"
    r"|no|altered|quartal|sharp|flat|\d+))*( over [A-G]( (double )?(sharp|flat))*)?|no chord"
)
LETTERS = st.sampled_from(">>>>><jJAZhxycwd.,#[]m?") | st.just("")


def sayable(line: str) -> bool:
    """Whether a line is printable ASCII or letters, and below 200 characters."""
    return 0 < len(line) < 200 and all(
        " " <= sign <= "~" or unicodedata.category(sign)[0] in "LMN" for sign in line
    )


@given(st.text() | st.text("♯♭♮→×·…─│█ \t\n\x1b[A-G1"), st.booleans())
def test_any_text(text: str, signs: bool) -> None:
    assert all(map(sayable, spoken_lines(text, signs=signs)))


def test_every_symbol_is_said_in_known_words() -> None:
    written = [*SYMBOLS, *(root + kind for root in ("C", "Eb", "F#") for kind in NEAR)]
    symbols = [ChordSymbol.parse(text) for text in written]
    every = [*written, *(text for symbol in symbols for text in other_spellings(symbol))]
    assert len(every) > 300
    for text in every:
        said = spoken(symbol_words(ChordSymbol.parse(text)))
        assert SPEECH.fullmatch(said), f"{text}: {said}"


@settings(max_examples=40)
@given(charts(), st.lists(LETTERS, max_size=12))
def test_any_chart_and_any_letters(chart: Chart, lines: list[str]) -> None:
    steps = tuple(Step(index, index, 1) for index in range(len(chart.bars)))
    listener = Listener(Song(Path("own.lead"), chart, steps))
    told = [*listener.begin(), *listener.types(*lines, "h", "x", "c", "w")]
    assert [line for line in told if not sayable(line)] == []
