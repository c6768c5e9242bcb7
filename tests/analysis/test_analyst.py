"""The analyst over workers that are made up: what is asked, when, and what becomes of it."""

import threading
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import pytest

from chartwalk.analysis.analyst import Analyst
from chartwalk.analysis.child import WorkerError
from chartwalk.analysis.question import NumeralQuestion, Question
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key
from chartwalk.leadfile import loads

Until = Callable[[Callable[[], object]], None]

G7, D7, NO_CHORD = (ChordSymbol.parse(text) for text in ("G7", "D7", "N.C."))
CHART = loads("title x\nmeter 4/4\nchords | G | D7 |\n").chart
EVERY_KEY = [
    [key.tonic.ascii, key.mode, 0.1 * (key.fifths == 1)]
    for key in (Key(fifths, mode) for fifths in range(-5, 7) for mode in ("major", "minor"))
]


class Slow:
    """A worker that holds back its answers until it is let go, and fails if it is told to."""

    def __init__(self, *, unready: str = "", fails_after: int = 1000) -> None:
        self.free = threading.Event()
        self.batches: list[list[Question]] = []
        self.unready = unready
        self.fails_after = fails_after
        self.ended = self.closed = False

    def __call__(self) -> "Slow":
        return self

    def wait_until_ready(self) -> None:
        self.free.wait()
        if self.unready:
            raise WorkerError(self.unready)

    def ask(self, questions: Sequence[Question]) -> list[Any]:
        self.batches.append(list(questions))
        self.free.wait()
        if len(self.batches) > self.fails_after or self.ended:
            raise WorkerError("it has ended")
        return [self._answer(question) for question in questions]

    def end(self) -> None:
        self.ended = True
        self.free.set()

    def close(self) -> None:
        self.closed = True

    @staticmethod
    def _answer(question: Question) -> Any:  # noqa: ANN401 - each question has its own kind
        if not isinstance(question, NumeralQuestion):
            return EVERY_KEY
        return "V/V" if question.secondary else "V"


@pytest.fixture
def worker() -> Iterator[Slow]:
    worker = Slow()
    yield worker
    worker.end()


def test_nothing_starts_before_it_is_needed(worker: Slow) -> None:
    started: list[Slow] = []

    def start() -> Slow:
        started.append(worker)
        return worker

    analyst = Analyst(start)
    assert analyst.numeral(NO_CHORD, Key()) == ""
    analyst.close()
    assert not started


def test_every_call_returns_at_once_and_the_answer_comes_later(worker: Slow, until: Until) -> None:
    analyst = Analyst(worker)
    assert analyst.numeral(G7, Key()) is None
    assert analyst.key_of(CHART) is None
    assert (analyst.news, analyst.trouble) == (0, "")
    worker.free.set()
    until(lambda: analyst.key_of(CHART))
    assert analyst.numeral(G7, Key()) == "V7"
    assert analyst.news >= 1
    found = analyst.key_of(CHART)
    assert found is not None
    assert (found.key, found.certain) == (Key(1), 0.1)
    analyst.close()
    assert worker.closed


def test_a_question_is_asked_once_and_what_waits_goes_together(worker: Slow, until: Until) -> None:
    analyst = Analyst(worker)
    for _ in range(3):
        analyst.numeral(G7, Key())
        analyst.numeral(ChordSymbol.parse("G13"), Key())  # the same triad, the same question
        analyst.numeral(D7, Key())
        analyst.key_of(CHART)
    worker.free.set()
    until(lambda: analyst.key_of(CHART))
    assert [len(batch) for batch in worker.batches] == [3]
    news = analyst.news
    assert analyst.numeral(D7, Key()) == "V7/V"
    assert (analyst.news, len(worker.batches)) == (news, 1)
    analyst.close()


def test_another_key_is_another_question(worker: Slow, until: Until) -> None:
    worker.free.set()
    analyst = Analyst(worker)
    until(lambda: analyst.numeral(D7, Key()))
    assert analyst.numeral(D7, Key()) == "V7/V"
    until(lambda: analyst.numeral(D7, Key(1)))
    assert analyst.numeral(D7, Key(1)) == "V7"
    analyst.close()


def test_no_answer_is_shown_as_nothing(worker: Slow, until: Until) -> None:
    worker.ask = lambda questions: [None] * len(questions)  # type: ignore[method-assign]
    worker.free.set()
    analyst = Analyst(worker)
    until(lambda: analyst.numeral(G7, Key()) is not None)
    assert analyst.numeral(G7, Key()) == ""
    assert analyst.key_of(CHART) is None
    until(lambda: analyst.news == 2)
    assert analyst.key_of(CHART) is None
    assert analyst.trouble == ""
    analyst.close()


def test_without_music21_one_sentence_says_so(until: Until) -> None:
    worker = Slow(unready="music21 is not installed")
    worker.free.set()
    analyst = Analyst(worker)
    assert analyst.numeral(G7, Key()) is None
    until(lambda: analyst.news)
    assert analyst.trouble == "No Roman numerals and no guess at the key: music21 is not installed."
    assert analyst.numeral(G7, Key()) is None
    assert analyst.numeral(D7, Key()) is None
    assert analyst.key_of(CHART) is None
    assert worker.batches == []
    analyst.close()


def test_what_is_known_outlasts_the_worker(until: Until) -> None:
    worker = Slow(fails_after=1)
    worker.free.set()
    analyst = Analyst(worker)
    until(lambda: analyst.numeral(G7, Key()))
    analyst.numeral(D7, Key())
    until(lambda: analyst.trouble)
    assert analyst.numeral(G7, Key()) == "V7"
    assert analyst.numeral(D7, Key()) is None
    assert analyst.numeral(D7, Key(1)) is None
    assert len(worker.batches) == 2
    analyst.close()


def test_closing_is_no_trouble_even_while_an_answer_is_awaited(worker: Slow) -> None:
    analyst = Analyst(worker)
    analyst.numeral(G7, Key())
    analyst.close()
    analyst.close()
    assert (worker.ended, worker.closed) == (True, True)
    assert analyst.trouble == ""
    assert analyst.numeral(D7, Key()) is None


def test_a_process_that_can_not_be_started(until: Until) -> None:
    def start() -> Slow:
        raise WorkerError("their process can't be started: out of memory")

    analyst = Analyst(start)
    analyst.numeral(G7, Key())
    until(lambda: analyst.trouble)
    assert "out of memory" in analyst.trouble
    analyst.close()
