"""What decides how long each bar is: its notes, the signs before it, and the meter in force.

Real files hardly ever mark a short measure ``implicit`` (MusicXML 4.0 ``measure``), so its length
decides.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from chartwalk.mending.lengths import Measured, longest, meter_of
from chartwalk.mending.notices import Notice
from chartwalk.meter import Meter
from chartwalk.musicxml.elements import text_of
from chartwalk.musicxml.measure import Measure
from chartwalk.musicxml.setting import Setting

SPLITS: Final = frozenset({"light-light", "heavy-light", "light-heavy", "heavy-heavy"})


def usual_meter(
    measures: Sequence[Measure], settings: Sequence[Setting]
) -> tuple[Meter, tuple[Notice, ...]]:
    """Return the meter of bars before the first signature, if any: the first one, or 4/4.

    A file without any signature gets the meter that most of its bars fill, if they can be counted.
    """
    stated = next((setting.meter for setting in settings if setting.meter), None)
    if stated:
        return stated, ()
    fitting = Counter(
        meter
        for measure in measures
        if measure.length <= longest(Meter()) and (meter := meter_of(measure.length, 4))
    )
    meter = fitting.most_common(1)[0][0] if fitting else Meter()
    return meter, (Notice(f"there is no meter: {meter} is assumed"),)


def measured(
    measures: Sequence[Measure], settings: Sequence[Setting], usual: Meter
) -> Iterator[Measured]:
    """Yield what decides every bar's length."""
    for bar, (measure, setting) in enumerate(zip(measures, settings, strict=True)):
        yield Measured(
            measure.length,
            setting.meter or usual,
            split=bar > 0 and _split(measures, bar),
            implicit=measure.implicit,
        )


def _split(measures: Sequence[Measure], bar: int) -> bool:
    """Whether a repeat sign or a double bar line stands before a bar."""
    before = [line.element for line in measures[bar - 1].barlines if not line.left]
    here = [line.element for line in measures[bar].barlines if line.left]
    return any(
        line.find("repeat") is not None or text_of(line, "bar-style") in SPLITS
        for line in before + here
    )
