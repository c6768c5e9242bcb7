"""`chartwalk spell`: the notes a symbol asks for, and why."""

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.commands.conftest import Run


def test_the_notes_of_a_symbol(run: "Run") -> None:
    done = run("spell", "B-7#5")
    assert done.status == 0
    assert done.err == ""
    assert done.lines[0].split() == [
        "B-7♯5", "B", "(root)", "D", "(♭3)", "F♯♯,", "the", "key", "G", "(♯5)", "A", "(♭7)",
    ]  # fmt: skip
    assert done.lines[1:] == [
        "    B: the root",
        "    -: minor, so B D F♯",
        "    7: add a minor seventh, A",
        "    ♯5: raise the fifth to F♯♯, the key G",
        "    also written: Bm7♯5  Bmin7♯5  Bmi7♯5  B-7+5",
        "    compare by ear: Bm7  B7♯5",
    ]


def test_the_notes_as_json(run: "Run") -> None:
    done = run("spell", "--json", "B-7#5", "F/C")
    assert done.status == 0
    assert len(done.lines) == 1, "one list"
    minor, slash = done.json
    assert list(minor) == [
        "symbol", "root", "bass", "tones", "steps", "canonical", "also", "neighbours",
    ]  # fmt: skip
    assert minor["symbol"] == "B-7#5"
    assert minor["root"] == "B"
    assert minor["bass"] == "B"
    assert minor["tones"] == [
        {"degree": "1", "name": "B", "key": "B", "use": "played"},
        {"degree": "b3", "name": "D", "key": "D", "use": "played"},
        {"degree": "#5", "name": "F##", "key": "G", "use": "played"},
        {"degree": "b7", "name": "A", "key": "A", "use": "played"},
    ]
    assert minor["canonical"] == {"display": "Bm7♯5", "ascii": "Bm7#5"}
    assert minor["neighbours"] == ["Bm7", "B7#5"]
    assert all(isinstance(line, str) and line for line in minor["steps"])
    assert slash["root"] == "F"
    assert slash["bass"] == "C"
    assert [tone["name"] for tone in slash["tones"]] == ["F", "A", "C"]


def test_names_in_json_are_ascii_whatever_was_typed(run: "Run") -> None:
    (chord,) = run("spell", "--json", "C♭°7").json
    assert [tone["name"] for tone in chord["tones"]] == ["Cb", "Ebb", "Gbb", "Bbbb"]
    assert [tone["degree"] for tone in chord["tones"]] == ["1", "b3", "b5", "bb7"]


def test_json_may_stand_behind_the_symbols(run: "Run") -> None:
    assert run("spell", "Am7", "--json").json == run("spell", "--json", "Am7").json


def test_no_chord(run: "Run") -> None:
    text = run("spell", "N.C.")
    assert text.status == 0
    assert text.lines[0].startswith("N.C.  no chord")
    (silent,) = run("spell", "--json", "N.C.").json
    assert silent["root"] is None
    assert silent["bass"] is None
    assert silent["tones"] == []


@pytest.mark.parametrize(
    "symbol", ["C7[b9]", "C-7", "C7-9", "C7(-5)", "Cm(maj7)", "E♭maj9/G", "C−7"]
)
def test_symbols_with_dashes_brackets_and_slashes(run: "Run", symbol: str) -> None:
    done = run("spell", symbol)
    assert done.status == 0, done.err
    assert done.err == ""


def test_brackets_stay_in_the_output(run: "Run") -> None:
    assert run("spell", "C7[b9]").lines[0].startswith("C7[♭9]")


@pytest.mark.parametrize("symbol", ["H7", "C7zz", "", " ", "[A]", "Cm7b5b5b5x", "漢", "-7", "/G"])
def test_a_symbol_that_can_not_be_read(run: "Run", symbol: str) -> None:
    done = run("spell", "G7", symbol)
    assert done.status == 1
    assert done.lines[0].startswith("G7"), "the others are spelled all the same"
    assert len(done.err.splitlines()) == 1
    assert "character" in done.err
    assert "fits" in done.err


def test_a_bad_symbol_among_json(run: "Run") -> None:
    done = run("spell", "--json", "Hm", "G")
    assert done.status == 1
    assert [chord["symbol"] for chord in done.json] == ["G"]
    assert "Hm" in done.err


@pytest.mark.parametrize("words", [["-m7"], ["--", "-m7"], ["--", "-7"], ["-Δ7"], ["C", "-x"]])
def test_a_symbol_that_begins_with_a_dash_is_told_in_a_line(run: "Run", words: list[str]) -> None:
    done = run("spell", *words)
    assert done.status in {1, 2}
    assert done.err
    assert "Traceback" not in done.err


def test_no_symbol_is_bad_usage(run: "Run") -> None:
    done = run("spell")
    assert done.status == 2
    assert "SYMBOL" in done.err
    assert done.out == ""


def test_as_a_process(command: "Run") -> None:
    done = command("spell", "Ebmaj9/G")
    assert (done.status, done.err) == (0, "")
    assert done.lines[0] == "E♭maj9/G  E♭ (root)  G (3rd)  B♭ (5th)  D (7th)  F (9th) over G"
    bad = command("spell", "H")
    assert bad.status == 1
    assert bad.out == ""
    assert len(bad.err.splitlines()) == 1


def test_an_output_that_knows_no_sharps_does_no_harm(command: "Run") -> None:
    done = command("spell", "F#m7b5", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert "Traceback" not in done.err
    assert done.status == 0
