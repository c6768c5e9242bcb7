"""Files that are no log, or logs with bad lines: every problem told, nothing taken in half."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.log import planted

from chartwalk.log import LogError, Store
from chartwalk.log.exchange import ExchangeError, Taken, take_in, write_out
from chartwalk.problems import Problem

Lines = list[dict[str, object]]
Take = Callable[[Lines], list[str]]

SONG, RUN, PASS, MARK = "1" * 32, "2" * 32, "3" * 32, "4" * 32
TIME, DAY = "2024-05-06T07:08:09+00:00", "2024-05-06"
ANCHOR = {"print": "a" * 16, "before": "", "after": "", "bar": 0, "number": "1"}
GOOD: Lines = [
    {"record": "log", "layout": 1},
    {"record": "song", "id": SONG, "also": [], "path": "/gone/a", "title": "A", "opened": TIME,
     "prints": ["a" * 16]},
    {"record": "run", "id": RUN, "song": SONG, "kind": "run", "time": TIME, "day": DAY,
     "seconds": 1.5},
    {"record": "pass", "id": PASS, "song": SONG, "run": RUN, "first": ANCHOR, "last": ANCHOR,
     "steps": 1, "tempo": 72, "goal": 96, "depth": "written", "shift": 0, "hands": "",
     "kind": "run", "clean": True, "whole": True, "time": TIME, "day": DAY, "seconds": 2,
     "span": None},
    {"record": "mark", "id": MARK, "song": SONG, "anchor": ANCHOR, "beat": None, "chord": "C",
     "came_from": "", "pass": 1, "kind": "", "words": "", "tempo": 80, "goal": 96, "time": TIME,
     "day": DAY, "bar": None, "amended": TIME},
    {"record": "unmarked", "id": "5" * 32},
    {"record": "choice", "song": SONG, "name": "depth", "value": None, "changed": TIME},
    {"record": "setting", "name": "voice", "value": "A3 D5"},
]  # fmt: skip
NUMBER = {str(line["record"]): place for place, line in enumerate(GOOD, start=1)}


def _write(file: Path, lines: Lines) -> None:
    file.write_text("".join(f"{json.dumps(line)}\n" for line in lines), "utf-8")


@pytest.fixture
def refused(store: Store, tmp_path: Path) -> Take:
    """Take in lines that are refused; return the problems, without the file's name."""

    def take(lines: Lines) -> list[str]:
        file = tmp_path / "in.jsonl"
        _write(file, lines)
        with pytest.raises(ExchangeError) as caught:
            take_in(store.database, file)
        assert (store.songs(), store.marks(), store.passes(), store.runs()) == ([], [], [], [])
        assert store.setting("voice") is None, "nothing was taken in half"
        texts = [str(problem) for problem in caught.value.problems]
        assert all(text.startswith(f"{file}:") and "\n" not in text for text in texts)
        return [text.removeprefix(f"{file}:") for text in texts]

    return take


def test_the_good_lines_are_good(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "in.jsonl"
    _write(file, GOOD)
    assert take_in(store.database, file) == Taken(songs=1, runs=1, passes=1, marks=1)
    shuffled = [GOOD[0], *GOOD[:0:-1]]
    _write(file, shuffled)
    other = Store.in_memory()
    assert take_in(other.database, file) == Taken(songs=1, runs=1, passes=1, marks=1)
    assert other.marks() == store.marks()


def test_marks_of_windows_and_empty_lines_are_no_matter(store: Store, tmp_path: Path) -> None:
    text = "\r\n\r\n".join(json.dumps(line) for line in GOOD)
    (tmp_path / "in.jsonl").write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert take_in(store.database, tmp_path / "in.jsonl").marks == 1


BAD = [
    ("song", "id", "x", "wants 32 hex digits"),
    ("song", "also", SONG, "wants a list of ids"),
    ("song", "also", ["x"], "wants 32 hex digits"),
    ("song", "title", None, "wants a text"),
    ("song", "title", "half \ud800", ""),
    ("song", "opened", "yesterday", "wants a time such as"),
    ("song", "opened", "2024-05-06T07:08:09", "wants a time such as"),
    ("song", "opened", "0001-01-01T00:00:00+14:00", "wants a time such as"),
    ("song", "prints", "a", "wants a list of fingerprints"),
    ("song", "prints", ["A" * 16], "wants 16 hex digits"),
    ("run", "kind", "walk", "wants one of run, loop, drill, step"),
    ("run", "kind", [], "wants one of"),
    ("run", "day", "06.05.2024", "wants a day such as"),
    ("run", "seconds", -1, "wants a number from 0"),
    ("run", "seconds", float("nan"), "wants a number from 0"),
    ("run", "seconds", float("inf"), "wants a number from 0"),
    ("run", "seconds", True, "wants a number from 0"),
    ("pass", "first", {}, "wants print, before, after, bar, number"),
    ("pass", "first", {**ANCHOR, "bar": -1}, "wants a whole number from 0"),
    ("pass", "first", {**ANCHOR, "print": "x"}, "wants 16 hex digits, or nothing"),
    ("pass", "steps", 1.5, "wants a whole number from 0"),
    ("pass", "steps", 10**30, "wants a whole number from 0"),
    ("pass", "shift", 1000, "wants a number of semitones"),
    ("pass", "clean", 1, "wants true or false"),
    ("pass", "span", [1], "wants two bars, or null"),
    ("pass", "span", [1, "2"], "wants a whole number from 0"),
    ("mark", "anchor", None, "wants print, before, after, bar, number"),
    ("mark", "beat", 1, "wants a beat such as 1 or 5/2"),
    ("mark", "beat", "1/0", "wants a beat such as 1 or 5/2"),
    ("mark", "beat", "1e9", "wants a beat such as 1 or 5/2"),
    ("mark", "kind", "feet", "wants nothing or one of chord, jump, tune, rhythm, words, hands"),
    ("mark", "tempo", "80", "wants a number from 0"),
    ("mark", "bar", -1, "wants a whole number from 0"),
    ("mark", "day", "2024-13-01", "wants a day such as"),
    ("choice", "value", 3, "wants a text"),
    ("setting", "name", [], "wants a text"),
]


@pytest.mark.parametrize(("record", "name", "value", "told"), BAD)
def test_a_field_that_can_not_be(
    refused: Take, record: str, name: str, value: object, told: str
) -> None:
    number = NUMBER[record]
    lines = [{**line, name: value} if line["record"] == record else line for line in GOOD]
    (problem,) = refused(lines)
    assert problem.startswith(f"{number} {name} ")
    assert told in problem
    assert ", not " in problem


def test_fields_that_are_missing_or_too_many(refused: Take) -> None:
    mark = dict(GOOD[4])
    del mark["tempo"], mark["anchor"]
    assert refused([*GOOD[:4], {**mark, "colour": "red"}]) == [
        "5 mark has no field 'colour'",
        "5 anchor is missing",
        "5 tempo is missing",
    ]


def test_every_bad_line_is_told(refused: Take) -> None:
    lines: Lines = [
        GOOD[0],
        {**GOOD[1], "title": 1},
        GOOD[2],
        {"record": "song"},
        {"record": "verse", "id": 1},
        {**GOOD[4], "beat": 1, "kind": 2},
    ]
    numbers = [problem.split()[0] for problem in refused(lines)]
    assert numbers == ["2", *["4"] * 6, "5", "6", "6"]


@pytest.mark.parametrize(
    ("record", "name"),
    [("run", "song"), ("pass", "song"), ("pass", "run"), ("mark", "song"), ("choice", "song")],
)
def test_what_belongs_to_nothing(refused: Take, record: str, name: str) -> None:
    number = NUMBER[record]
    lines = [{**line, name: "e" * 32} if line["record"] == record else line for line in GOOD]
    assert refused(lines)[0] == f"{number} there is no {name} {'e' * 32}"


def test_each_line_that_belongs_to_nothing_is_told(refused: Take) -> None:
    lines = [GOOD[0], *(line for line in GOOD[1:] if line["record"] != "song")]
    assert [problem.split()[0] for problem in refused(lines)] == ["2", "3", "4", "6"]


def test_records_of_songs_that_the_log_knows_need_no_line_for_them_twice(
    store: Store, tmp_path: Path
) -> None:
    file = tmp_path / "in.jsonl"
    _write(file, [*GOOD, *GOOD[1:]])
    assert take_in(store.database, file) == Taken(songs=1, runs=1, passes=1, marks=1)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"title Low Water\n" * 3, "1 no JSON"),
        (b'{"name": "something else"}\n' * 3, "1 record is one of log, song"),
        (b"[1, 2]\n", "1 a line is one JSON object"),
        (b"\xff\xfe\x00", "1 is no UTF-8 text"),
        (b"[" * 100_000, "1 "),
        (json.dumps(GOOD[1]).encode(), "1 the first line of a log says: record log"),
        (b'{"record": "log", "layout": 2}\n', "1 the log was written out by a newer chartwalk"),
    ],
)
def test_files_that_are_no_log(store: Store, tmp_path: Path, content: bytes, told: str) -> None:
    """One problem is enough: all other lines would be wrong too."""
    file = tmp_path / "in.jsonl"
    file.write_bytes(content)
    with pytest.raises(ExchangeError) as caught:
        take_in(store.database, file)
    (problem,) = caught.value.problems
    assert told in str(problem)


def test_a_file_that_is_not_there(store: Store, tmp_path: Path) -> None:
    for path in (tmp_path / "none.jsonl", tmp_path):
        with pytest.raises(LogError, match="can't be read") as caught:
            take_in(store.database, path)
        assert "\n" not in str(caught.value)


def test_a_log_that_refuses_takes_nothing_in(store: Store, tmp_path: Path) -> None:
    _write(tmp_path / "in.jsonl", GOOD)
    store.database.connection.execute("PRAGMA query_only = ON")
    with pytest.raises(LogError, match="could not be taken in"):
        take_in(store.database, tmp_path / "in.jsonl")


def test_a_folder_that_takes_no_files(unwritable: Path) -> None:
    store = Store.in_memory()
    for name in ("log.jsonl", "log.csv"):
        with pytest.raises(LogError, match="can't be written"):
            write_out(store.database, unwritable / name)
    assert not store.database.connection.in_transaction
    store.song(planted.song())


def test_kinds_of_files_that_are_not_written(tmp_path: Path) -> None:
    with pytest.raises(LogError, match=r"\.jsonl or \.csv"):
        write_out(Store.in_memory().database, tmp_path / "log.xml")


def test_a_file_that_was_there_stays_until_the_new_one_is_whole(
    store: Store, tmp_path: Path
) -> None:
    sheet = planted.song()
    store.mark(planted.mark(store.song(sheet).id, sheet))
    file = tmp_path / "log.jsonl"
    file.write_text("from last week")
    store.database.connection.execute("UPDATE mark SET day = 'never'")
    with pytest.raises(LogError):
        write_out(store.database, file)
    assert file.read_text() == "from last week"
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith(".")] == []


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=4,
)


@settings(max_examples=150)
@given(st.sampled_from(GOOD[1:]), st.data())
def test_any_value_in_any_field_is_taken_or_told(
    line: dict[str, object], data: st.DataObject
) -> None:
    """Nothing but an ExchangeError, whatever a line holds."""
    from tempfile import TemporaryDirectory

    name = data.draw(st.sampled_from(sorted(set(line) - {"record"})))
    changed = {**line, name: data.draw(json_values)}
    store = Store.in_memory()
    with TemporaryDirectory() as folder:
        file = Path(folder) / "in.jsonl"
        _write(file, [changed if each is line else each for each in GOOD])
        problems: tuple[Problem, ...] = ()
        try:
            take_in(store.database, file)
        except ExchangeError as error:
            problems = error.problems
        assert all(problem.line > 0 for problem in problems)
        assert len(store.marks()) == len(store.songs()) == (not problems)
        if not problems:
            write_out(store.database, file)
            assert take_in(store.database, file) == Taken()
    store.close()


def test_a_table_has_a_row_for_each_mark_and_pass(store: Store, tmp_path: Path) -> None:
    import csv

    sheet = planted.song(title='Low, "Water"')
    song = store.song(sheet)
    run = planted.run(song.id)
    mark = planted.mark(song.id, sheet, 4, words="zwei\nZeilen")
    played = planted.played(song.id, sheet, run.id, (2, 5))
    store.run_started(run)
    store.mark(mark)
    store.write_pass(played)
    write_out(store.database, tmp_path / "log.csv")
    with (tmp_path / "log.csv").open(encoding="utf-8", newline="") as file:
        first, second = csv.DictReader(file)
    common = {"title": 'Low, "Water"', "path": "/gone/a.lead", "goal": "96.0", "day": DAY}
    assert {name: text for name, text in first.items() if text} == common | {
        "record": "mark", "id": mark.id, "from bar": "5", "to bar": "5", "pass": "1",
        "beat": "5/2", "came from": "Cm7", "chord": "E♭maj9/G", "words": "zwei\nZeilen",
        "tempo": "80.5", "time": "2024-05-06T07:08:09.123456+00:00",
    }  # fmt: skip
    assert {name: text for name, text in second.items() if text} == common | {
        "record": "pass", "id": played.id, "from bar": "3", "to bar": "6", "kind": "loop",
        "tempo": "72.0", "time": "2024-05-06T07:08:09.123456+00:00", "run": run.id,
        "bars played": "4", "clean": "1", "whole": "1", "depth": "written", "semitones": "-2",
        "hands": "tune", "seconds": "12.5",
    }  # fmt: skip
