"""Hostile files are refused, or read, in a process that has little memory and must come to an end.

The limit of memory covers the interpreter; the limit of time is a guard against hanging, far above
what any of these takes.
"""

import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

MEMORY = 700 * 2**20
HANGS = 240  # seconds
READING = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({memory}, {memory}))
from pathlib import Path
from chartwalk.musicxml import read
from chartwalk.problems import ChartError
try:
    print("bars", len(read(Path(sys.argv[1])).chart.bars))
except ChartError as error:
    print("refused", *(problem.message for problem in error.problems))
"""

NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>{}</duration></note>"
UNITS = "<attributes><divisions>{}</divisions></attributes>"
OPEN, CLOSE = "<score-partwise><part id='P'>", "</part></score-partwise>"


def score(bars: str) -> bytes:
    return f"{OPEN}{bars}{CLOSE}".encode()


def bar(inside: str) -> str:
    return f"<measure>{inside}</measure>"


def primes(count: int) -> list[int]:
    """Return the first prime numbers, by the sieve of Eratosthenes."""
    sieve = bytearray(b"\x01") * (30 * count)
    found = []
    for number in range(2, len(sieve)):
        if sieve[number]:
            found.append(number)
            sieve[number * number :: number] = bytes(len(sieve[number * number :: number]))
    return found[:count]


def large(path: Path) -> None:
    """Write a file of 100 MB, most of it a hole on the disk."""
    with path.open("wb") as file:
        file.write(score(bar(NOTE.format(1))))
        file.truncate(100_000_000)


def spaces(path: Path) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.xml", b" " * 100 * 2**20)


def crowd(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        for number in range(20_000):
            archive.writestr(f"{number}.xml", b"")


def entities(path: Path) -> None:
    levels = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12))
    path.write_text(
        f'<!DOCTYPE score-partwise [<!ENTITY a0 "a">{levels}]><score-partwise><movement-title>'
        "&a11;</movement-title></score-partwise>",
        encoding="utf-8",
    )


def outside(path: Path) -> None:
    secret = path.with_name("secret")
    secret.write_text("secret", encoding="utf-8")
    path.write_text(
        f'<!DOCTYPE score-partwise [<!ENTITY a SYSTEM "{secret.as_uri()}">]><score-partwise>'
        "<movement-title>&a;</movement-title></score-partwise>",
        encoding="utf-8",
    )


def text(data: bytes) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        path.write_bytes(data)

    return write


# What the file is, how it is written, and what comes of it.
FILES = [
    ("100 MB", large, "refused the file holds more than 32 MB"),
    ("a bomb of spaces", spaces, "refused the file holds more than 32 MB"),
    ("20,000 entries", crowd, "refused the compressed file is damaged: more than 256 files in it"),
    ("entities in entities", entities, "refused the score declares entities"),
    ("an entity from outside", outside, "refused the score declares entities"),
    ("900,000 bars", text(score("<measure/>" * 900_000)),
     "refused the score has more than 10000 bars"),
    ("a million bars", text(score("<measure/>" * 1_000_000)),
     "refused the score has more than 1000000 tags"),
    ("a million tags", text(score(bar("<a>" * 1_100_000))),
     "refused the score has more than 1000000 tags"),
    ("a million attributes",
     text(score(f"<measure {' '.join(f'a{n}=' + chr(39) * 2 for n in range(1_100_000))}/>")),
     "refused the score has more than 1000000 attributes"),
    ("400,000 levels", text(score(bar("<a>" * 400_000 + "</a>" * 400_000))), "bars 1"),
    ("a note of 10**9", text(score(bar(NOTE.format(10**9)))), "bars 1"),
    ("a note of 10**30", text(score(bar(NOTE.format(10**30)))), "bars 1"),
    ("a part of a quarter", text(score(bar(UNITS.format("0.000000000001") + NOTE.format(1)))),
     "bars 1"),
    ("no divisions", text(score(bar(UNITS.format(0) + NOTE.format(4)))), "bars 1"),
    ("less than none", text(score(bar(UNITS.format(-4) + NOTE.format(-4)))), "bars 1"),
    ("back before the bar", text(score(bar(
        "<backup><duration>999999999</duration></backup>" + NOTE.format(4)))), "bars 1"),
    ("a note for every prime", text(score(bar("".join(
        UNITS.format(prime) + NOTE.format(1) for prime in primes(5000))))), "bars 1"),
    ("80,000 notes in a bar", text(score(bar(NOTE.format(1) * 80_000))), "bars 1"),
    ("50,000 chords on a note", text(score(bar(
        "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>"
        "<harmony><root><root-step>D</root-step></root><kind>minor</kind></harmony>" * 25_000
        + NOTE.format(4)))), "bars 1"),
    ("a chord of a million letters", text(score(bar(
        "<harmony><root><root-step>C</root-step></root><kind text='"
        + "m7b5" * 250_000 + "'>major</kind></harmony>" + NOTE.format(4)))), "bars 1"),
    ("words of a million letters", text(score(bar(
        "<direction><direction-type><words>" + "d c al " * 150_000
        + "</words></direction-type></direction>" + NOTE.format(4)))), "bars 1"),
    ("10,000 endings and opening signs", text(score(bar(
        '<barline location="left"><ending number="1" type="start"/>'
        '<repeat direction="forward"/></barline>' + NOTE.format(4)) * 10_000)), "bars 10000"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("write", "outcome"), [case[1:] for case in FILES], ids=[case[0] for case in FILES]
)
def test_little_memory_is_enough(
    tmp_path: Path, write: Callable[[Path], None], outcome: str
) -> None:
    path = tmp_path / "x.musicxml"
    write(path)
    done = subprocess.run(
        [sys.executable, "-c", READING.format(memory=MEMORY), str(path)],
        capture_output=True, text=True, timeout=HANGS, check=False,
    )  # fmt: skip
    assert done.stderr == ""
    assert done.stdout.startswith(outcome)
