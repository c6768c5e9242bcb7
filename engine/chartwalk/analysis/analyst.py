"""The analyst as a screen uses it: every call returns at once, whatever the worker does."""

import threading
from collections.abc import Callable
from contextlib import closing
from queue import Empty, SimpleQueue
from typing import Any, Final

from chartwalk.analysis.child import Worker, WorkerError, WorkerProcess
from chartwalk.analysis.guess import KeyGuess, guess, key_question, main_key
from chartwalk.analysis.numeral import numeral_question, shown
from chartwalk.analysis.question import KeyQuestion, Question
from chartwalk.chart import Chart
from chartwalk.chord import ChordSymbol
from chartwalk.key import Key

JOIN: Final = 1.0  # seconds for the thread to end once the worker has


class Analyst:
    """Numerals and key guesses, worked out in another process that starts at the first question.

    ``numeral`` and ``key_of`` give None as long as an answer is not known, and are asked again
    later; what was asked in the meantime goes to the worker together. ``news`` grows with every
    batch of answers, and once when the worker is lost: a screen that sees it grow asks again. A
    worker that is lost is not replaced; what is known stays. All methods are for one thread.
    """

    def __init__(self, start: Callable[[], Worker] = WorkerProcess) -> None:
        self._start = start
        self._answers: dict[Question, Any] = {}  # None for what was asked and is not known yet
        self._charts: dict[Chart, tuple[Key, KeyQuestion]] = {}
        self._asked: SimpleQueue[Question | None] = SimpleQueue()  # None: nothing more
        self._worker: Worker | None = None
        self._closed = False
        self._thread: threading.Thread | None = None
        self.news = 0
        self.trouble = ""
        """One sentence for the player on why no answer will come any more; empty while they do."""

    def numeral(self, symbol: ChordSymbol, key: Key) -> str | None:
        """Return a chord's Roman numeral as it shows on screen: ``V7``, ``♭VII``, ``V7/V``.

        It is empty for N.C. and for what has no numeral, and None as long as it is not known. To
        have a whole song's numerals soon, ask for all of them once.
        """
        question = numeral_question(symbol, key)
        if question is None:
            return ""
        figure = self._answer(question)
        return shown(figure, symbol) if figure else figure

    def key_of(self, chart: Chart) -> KeyGuess | None:
        """Return the key that tune and chords speak for; None as long as it is not known.

        The bars in the chart's main key are heard, and it is that key which the guess may
        contradict. A file without a key reads as C major, so there it is contradicted if it is
        wrong. Of a chart without notes nothing is ever known.
        """
        written, question = self._charts.get(chart) or self._read(chart)
        fits = self._answer(question) if question.lengths else None
        if not fits:
            return None
        return guess(written, ((Key.parse(f"{tonic} {mode}"), fit) for tonic, mode, fit in fits))

    def close(self) -> None:
        """End the worker; what is known stays known."""
        self._closed = True
        self._asked.put(None)
        if self._worker is not None:
            self._worker.end()
        if self._thread is not None:
            self._thread.join(JOIN)

    def _read(self, chart: Chart) -> tuple[Key, KeyQuestion]:
        self._charts[chart] = (main_key(chart), key_question(chart))
        return self._charts[chart]

    def _answer(self, question: Question) -> Any:  # noqa: ANN401 - each question has its own kind
        """Return what is known; where nothing is, see to it that the question is asked, once."""
        if question not in self._answers and not self._closed and not self.trouble:
            self._answers[question] = None
            self._asked.put(question)
            if self._thread is None:
                self._thread = threading.Thread(target=self._serve, name="analyst", daemon=True)
                self._thread.start()
        return self._answers.get(question)

    def _serve(self) -> None:
        """Start the worker and bring it the questions, until there is no worker or no more to ask.

        In its own thread: the answers, ``news`` and ``trouble`` are all it changes.
        """
        try:
            with closing(self._start()) as worker:
                self._worker = worker
                if self._closed:  # too early to be ended by ``close``
                    return
                worker.wait_until_ready()
                while batch := self._next_batch():
                    for question, answer in zip(batch, worker.ask(batch), strict=True):
                        self._answers[question] = "" if answer is None else answer
                    self.news += 1
        except WorkerError as error:
            if not self._closed:
                self.trouble = f"No Roman numerals and no guess at the key: {error}."
                self.news += 1

    def _next_batch(self) -> list[Question]:
        """Wait for a question, and take what else is there; nothing once the analyst is closed."""
        batch = []
        question = self._asked.get()
        while question is not None:
            batch.append(question)
            try:
                question = self._asked.get_nowait()
            except Empty:
                return batch
        return []
