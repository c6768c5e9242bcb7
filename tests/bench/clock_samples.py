"""What the benchmark of the clock found: percentiles, drift, a table and the goals."""

import itertools
import statistics
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

RATE = 14  # events a second
PERIOD = 1000 * 64 / 48000  # milliseconds of the sound server
FLOOR, FINE_FLOOR = "floor", "floor, fine timers"
LOOP, OURS, REAL_TIME = "screen's event loop", "ours", "ours, real time"
RECEIVED = "received"  # after the name of what was sent


@dataclass
class Sample:
    """How late the events of some rounds were, in milliseconds, in the order they were due."""

    rounds: list[list[float]] = field(default_factory=list)
    lost: int = 0

    def add(self, seconds: Sequence[float], sent: int | None = None) -> None:
        """Add a round; ``sent`` is how many there should be."""
        self.rounds.append([1000 * late for late in seconds])
        self.lost += 0 if sent is None else sent - len(seconds)

    @property
    def all(self) -> list[float]:
        """All of them, from the least on."""
        return sorted(late for one in self.rounds for late in one)

    def percentile(self, percent: float) -> float:
        """The lateness that so many percent did not pass."""
        late = self.all
        return late[min(int(len(late) * percent / 100), len(late) - 1)]

    def share_over(self, limit: float) -> float:
        """Percent of the events that were later than this."""
        late = self.all
        return 100 * sum(one > limit for one in late) / len(late)

    @property
    def drift(self) -> float:
        """Milliseconds a minute, from the quick ones of the first and the last third of a round."""
        return statistics.mean(_drift(one) for one in self.rounds)

    @property
    def intervals(self) -> "Sample":
        """How wrong the time between neighbours was, whichever way."""
        pairs = [itertools.pairwise(one) for one in self.rounds]
        return Sample([[abs(late - before) for before, late in one] for one in pairs], self.lost)


Samples = Mapping[str, Sample]


def _drift(late: Sequence[float]) -> float:
    third = len(late) // 3
    first, last = (statistics.quantiles(part)[0] for part in (late[:third], late[-third:]))
    return (last - first) / ((len(late) - third) / RATE / 60)


def table(samples: Samples) -> Iterator[str]:
    """Lay out what was found, line by line."""
    yield (
        f"{'milliseconds late':30}{'events':>7}{'p50':>8}{'p99':>8}{'p99.9':>8}{'max':>8}"
        f"{'p99/floor':>10}{'over 5 ms':>10}{'drift/min':>10}"
    )
    floor = samples[FLOOR].percentile(99)
    for name, sample in samples.items():
        shown = sample.intervals if name.endswith(RECEIVED) else sample
        figures = "".join(f"{shown.percentile(percent):8.3f}" for percent in (50, 99, 99.9, 100))
        drift = f"{sample.drift:10.3f}" if shown is sample else ""
        yield (
            f"{name:30}{len(shown.all):7}{figures}{shown.percentile(99) / floor:10.2f}"
            f"{shown.share_over(5):9.2f}%{drift}"
        )


def goals(samples: Samples) -> Iterator[str]:
    """Say of each goal whether it was met, and of each wish whether it came true."""
    floor, late = samples[FLOOR].percentile(99), samples[LOOP].percentile(99)
    for name, wish in ((OURS, 0.5), (REAL_TIME, 0.1)):
        if name not in samples:
            continue
        ours = samples[name]
        p99 = ours.percentile(99)
        yield _goal(f"{name}: p99 over the floor's, at most 1.2", p99 / floor, p99 <= 1.2 * floor)
        yield _goal(f"{name}: the same, wished for {wish}", p99 / floor, p99 <= wish * floor)
        yield _goal(
            f"{name}: the event loop's p99 over it, at least 20", late / p99, late >= 20 * p99
        )
        yield _goal(f"{name}: drift, at most 0.1 ms/min", ours.drift, abs(ours.drift) <= 0.1)
        share = ours.share_over(5)
        yield _goal(f"{name}: over 5 ms, at most 0.5 %", share, share <= 0.5)
        if (heard := samples.get(f"{name}, {RECEIVED}")) is not None:
            wrong = heard.intervals.percentile(99) / PERIOD
            yield _goal(f"{name}: interval error's p99, at most 2 periods", wrong, wrong <= 2)
            yield _goal(f"{name}: messages lost", heard.lost, heard.lost == 0)


def _goal(text: str, value: float, met: bool) -> str:
    return f"{text:60}{value:9.3f}  {'met' if met else 'NOT met'}"
