"""The log out and in: nothing is lost, nothing comes twice, and the order does not matter."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from tests.log import planted
from tests.log.planted import START

from chartwalk.log import Anchor, Kind, MarkRecord, Store
from chartwalk.log.exchange import Taken, take_in, write_out

Everything = dict[str, object]


def _all(store: Store) -> Everything:
    """All that a log holds."""
    db = store.database.connection
    rows = {
        table: sorted(db.execute(query).fetchall())
        for table, query in {
            "ids": "SELECT a.id, min(b.id) FROM song_id a JOIN song_id b USING (song) GROUP BY 1",
            "unmarked": "SELECT id FROM unmarked",
            "amended": "SELECT id, amended FROM mark",
            "choices": "SELECT (SELECT min(id) FROM song_id WHERE song_id.song = s.song), name, "
                       "coalesce(value, 'none'), changed FROM song_setting s",
            "settings": "SELECT name, value FROM setting",
            "counts": "SELECT song_id.id, place, sum(marks) FROM anchor JOIN song_id USING (song) "
                      "WHERE place IS NOT NULL AND marks > 0 GROUP BY 1, 2",
        }.items()
    }  # fmt: skip
    return {
        "songs": store.songs(),
        "marks": store.marks(),
        "runs": store.runs(),
        "passes": store.passes(),
        **rows,
    }


def _shared(store: Store) -> Everything:
    """What two logs have in common after each has taken in the other.

    Where a song's file lies and what is in it is each machine's own, and so are its settings.
    """
    found = _all(store)
    found["songs"] = sorted((song.id, song.opened) for song in store.songs())
    found["marks"] = sorted(
        (replace(mark, bar=None) for mark in store.marks()), key=lambda mark: mark.id
    )
    found["passes"] = sorted(
        (replace(each, span=None) for each in store.passes()), key=lambda each: each.id
    )
    found["runs"] = sorted(store.runs(), key=lambda run: run.id)
    del found["settings"], found["counts"]
    return found


def _merged(into: Store, other: Store) -> Taken:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.jsonl"
        write_out(other.database, file)
        return take_in(into.database, file)


def _copy(store: Store) -> Store:
    copy = Store.in_memory()
    store.database.connection.backup(copy.database.connection)
    return copy


@dataclass
class Machine:
    """A machine whose player practises; ids come from a count, so that a failure is repeatable."""

    name: int
    store: Store = field(default_factory=Store.in_memory)
    minutes: Iterator[int] = field(default_factory=count)

    def __post_init__(self) -> None:
        self.store = Store.in_memory(lambda: START + timedelta(minutes=next(self.minutes)))
        self.ids = (f"{self.name:02x}{number:030x}" for number in count())

    def practise(self, steps: list[tuple[str, int, int]]) -> None:
        """Do some things to one of a few songs, and on one of its bars."""
        for what, which, number in steps:
            chords = planted.CHORDS[which : which + 9 + (number == 0)]  # at times with a bar more
            sheet = planted.song(chords, f"Song {which}", f"/gone/{self.name}/{which}.lead")
            song = self.store.song(sheet).id
            index = number % len(chords)
            marks = self.store.marks(song)
            after = timedelta(minutes=next(self.minutes))
            match what:
                case "mark":
                    self.store.mark(
                        planted.mark(song, sheet, index, id=next(self.ids), time=START + after)
                    )
                case "pass":
                    run = planted.run(song, id=next(self.ids), time=START + after)
                    self.store.run_started(run)
                    self.store.write_pass(
                        planted.played(song, sheet, run.id, (0, index), id=next(self.ids))
                    )
                    self.store.run_ended(run.id, float(number))
                case "take back" if marks:
                    self.store.unmark(marks[number % len(marks)].id)
                case "amend" if marks:
                    kind = list(Kind)[number % 7]
                    self.store.amend(marks[number % len(marks)].id, kind=kind, words=str(number))
                case "choose":
                    value = None if number == 3 else str(number)
                    self.store.set_for_song(song, "depth", value)
                case "set":
                    self.store.set("port", str(number))


things = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "pass", "take back", "amend", "choose", "set"]),
        st.integers(0, 2),
        st.integers(0, 8),
    ),
    max_size=8,
)


@st.composite
def machines(draw: DrawFn) -> tuple[Machine, Machine]:
    """Two machines: each began with the same log, or with none, and went on by itself."""
    one, two = Machine(1), Machine(2)
    shared = draw(things)
    one.practise(shared)
    if draw(st.booleans()):
        _merged(two.store, one.store)
    one.practise(draw(things))
    two.practise(draw(things))
    return one, two


@settings(max_examples=25)
@given(machines())
def test_what_goes_out_comes_in_the_same(pair: tuple[Machine, Machine]) -> None:
    for machine in pair:
        empty = Store.in_memory()
        _merged(empty, machine.store)
        assert _all(empty) == _all(machine.store)


@settings(max_examples=25)
@given(machines())
def test_taken_in_twice_changes_nothing(pair: tuple[Machine, Machine]) -> None:
    one, two = pair
    _merged(one.store, two.store)
    before = _all(one.store)
    assert _merged(one.store, two.store) == Taken()
    assert _merged(one.store, one.store) == Taken()
    assert _all(one.store) == before


@settings(max_examples=25)
@given(machines())
def test_it_does_not_matter_which_log_is_taken_into_which(pair: tuple[Machine, Machine]) -> None:
    one, two = (machine.store for machine in pair)
    left, right = _copy(one), _copy(two)
    _merged(left, two)
    _merged(right, one)
    assert _shared(left) == _shared(right)
    _merged(left, right)
    assert _shared(left) == _shared(right)


@settings(max_examples=20)
@given(machines(), things)
def test_nothing_is_lost_by_taking_in_another_log(
    pair: tuple[Machine, Machine], more: list[tuple[str, int, int]]
) -> None:
    one, two = pair
    gone = {id_ for store in (one.store, two.store)
            for (id_,) in store.database.connection.execute("SELECT id FROM unmarked")}  # fmt: skip
    marks = {mark.id for each in pair for mark in each.store.marks()} - gone
    runs = {run.id for each in pair for run in each.store.runs()}
    passes = {played.id for each in pair for played in each.store.passes()}
    own = [(song.id, song.path, song.title, song.prints) for song in one.store.songs()]
    _merged(one.store, two.store)
    assert {mark.id for mark in one.store.marks()} == marks
    assert {run.id for run in one.store.runs()} == runs
    assert {played.id for played in one.store.passes()} == passes
    after = [(song.path, song.title, song.prints) for song in one.store.songs()]
    assert all((path, title, prints) in after for _, path, title, prints in own)
    one.practise(more)  # and practice goes on


def test_one_song_that_both_know_stays_one(store: Store) -> None:
    sheet = planted.song()
    other = Store.in_memory()
    mine = store.song(sheet)
    theirs = other.song(planted.song([*planted.CHORDS, "Abm7"], path="/gone/elsewhere.lead"))
    store.mark(planted.mark(mine.id, sheet, 4))
    other.mark(planted.mark(theirs.id, sheet, 4))
    assert _merged(store, other) == Taken(marks=1)
    (song,) = store.songs()
    assert song.id == min(mine.id, theirs.id)
    assert (song.path, song.prints) == (mine.path, mine.prints), "this machine knows best"
    for id_ in (mine.id, theirs.id):
        assert store.mark_counts(id_) == {4: 2}
        assert len(store.marks(id_)) == 2


def test_two_copies_on_one_machine_stay_two(store: Store, tmp_path: Path) -> None:
    """They are alike, but the log that comes in knows them as two."""
    other = Store.in_memory()
    for name in ("a.lead", "b.lead"):
        (tmp_path / name).touch()
        other.song(planted.song(path=str(tmp_path / name)))
    assert _merged(store, other) == Taken(songs=2)
    assert _merged(store, other) == Taken()
    assert len(store.songs()) == 2


def test_two_songs_that_another_log_knows_to_be_one_become_one(store: Store) -> None:
    """Each was marked on a machine of its own; a third has put them together."""
    first, third = Store.in_memory(), Store.in_memory()
    sheet = planted.song()
    here, there = store.song(sheet), first.song(sheet)
    store.mark(planted.mark(here.id, sheet, 1))
    store.set_for_song(here.id, "depth", "lean")
    first.mark(planted.mark(there.id, sheet, 2))
    _merged(third, store)
    _merged(third, first)
    assert len(third.songs()) == 1
    store.song_opened(here.path, "A", ["f" * 16] * 3)  # written anew: no longer alike
    _merged(store, first)
    assert len(store.songs()) == 2
    _merged(store, third)
    (song,) = store.songs()
    assert song.id == min(here.id, there.id)
    assert len(store.marks(song.id)) == 2
    assert store.song_setting(song.id, "depth") == "lean"


def test_marks_come_in_on_their_bars_in_the_chart_as_it_is_here(store: Store) -> None:
    sheet = planted.song()
    other = Store.in_memory()
    theirs = other.song(sheet).id
    for index in (0, 4, 9):
        other.mark(planted.mark(theirs, sheet, index))
    mine = store.song(planted.song(["Abm7", *planted.CHORDS[:8]])).id
    assert mine != theirs
    _merged(store, other)
    assert sorted(store.mark_counts(mine)) == [1, 5]
    assert [mark.bar for mark in store.marks()].count(None) == 1


def test_a_mark_taken_back_here_does_not_come_again(store: Store) -> None:
    sheet = planted.song()
    mark = planted.mark(store.song(sheet).id, sheet)
    store.mark(mark)
    other = Store.in_memory()
    _merged(other, store)
    store.unmark(mark.id)
    assert _merged(store, other) == Taken()
    assert store.marks() == []
    _merged(other, store)
    assert other.marks() == []


def test_the_later_word_about_a_mark_stays() -> None:
    one, two = Machine(1), Machine(2)
    one.practise([("mark", 0, 1)])
    _merged(two.store, one.store)
    (mark,) = one.store.marks()
    two.store.amend(mark.id, kind=Kind.TUNE)  # the first minute of that machine
    for _ in range(9):
        next(one.minutes)
    one.store.amend(mark.id, words="later")
    for into, other in ((one, two), (two, one)):
        _merged(into.store, other.store)
        (found,) = into.store.marks()
        assert (found.kind, found.words) == (Kind.UNSAID, "later")


def test_settings_of_this_machine_stay(store: Store) -> None:
    other = Store.in_memory()
    store.set("port", "Piano")
    other.set("port", "Organ")
    other.set("voice", "A3 D5")
    _merged(store, other)
    assert (store.setting("port"), store.setting("voice")) == ("Piano", "A3 D5")


def test_a_large_log_goes_out_while_another_program_writes(tmp_path: Path) -> None:
    store, writer = Store.open(tmp_path), Store.open(tmp_path)
    sheet = planted.song()
    song = store.song(sheet).id
    for number in range(50):
        store.mark(planted.mark(song, sheet, number % 20))
    file = tmp_path / "out.jsonl"
    seen: list[int] = []

    def trace(statement: str) -> None:
        if "FROM mark" in statement and not seen:
            seen.append(1)
            writer.mark(planted.mark(song, sheet))

    store.database.connection.set_trace_callback(trace)
    write_out(store.database, file)
    store.database.connection.set_trace_callback(None)
    records = [json.loads(line)["record"] for line in file.read_text("utf-8").splitlines()]
    assert records.count("mark") == 50, "as it was when it began"
    assert len(store.marks()) == 51
    store.close()
    writer.close()


def test_the_lines_are_as_they_are_told(store: Store, tmp_path: Path) -> None:
    sheet = planted.song(planted.CHORDS[:2], title="夜 [A]")
    song = store.song(sheet)
    mark = planted.mark(song.id, sheet, 1, kind=Kind.CHORD, words="späte Terz")
    run = planted.run(song.id)
    played = planted.played(song.id, sheet, run.id)
    store.mark(mark)
    store.run_started(run)
    store.write_pass(played)
    store.set_for_song(song.id, "depth", "lean")
    store.set("port", "Piano")
    store.unmark("a" * 32)
    write_out(store.database, tmp_path / "log.jsonl")
    text = (tmp_path / "log.jsonl").read_text("utf-8")
    first, second = sheet.bars[0], sheet.bars[1]
    c, dm = song.prints
    anchors = [
        {"print": c, "before": "", "after": dm, "bar": 0, "number": first.number},
        {"print": dm, "before": c, "after": "", "bar": 1, "number": second.number},
    ]
    assert [json.loads(line) for line in text.splitlines()] == [
        {"record": "log", "layout": 1},
        {"record": "song", "id": song.id, "path": "/gone/a.lead", "title": "夜 [A]",
         "opened": song.opened.isoformat(), "prints": [c, dm], "also": []},
        {"record": "run", "id": run.id, "song": song.id, "kind": "run",
         "time": "2024-05-06T07:08:09.123456+00:00", "day": "2024-05-06", "seconds": 0.0},
        {"record": "pass", "id": played.id, "song": song.id, "run": run.id, "first": anchors[0],
         "last": anchors[1], "steps": 2, "tempo": 72.0, "goal": 96.0, "depth": "written",
         "shift": -2, "hands": "tune", "kind": "loop", "clean": True, "whole": True,
         "time": "2024-05-06T07:08:09.123456+00:00", "day": "2024-05-06", "seconds": 12.5,
         "span": [0, 1]},
        {"record": "mark", "id": mark.id, "song": song.id, "anchor": anchors[1], "beat": "5/2",
         "chord": "E♭maj9/G", "came_from": "Cm7", "pass": 1, "kind": "chord",
         "words": "späte Terz", "tempo": 80.5, "goal": 96.0,
         "time": "2024-05-06T07:08:09.123456+00:00", "day": "2024-05-06", "bar": 1,
         "amended": "2024-05-06T07:08:09.123456+00:00"},
        {"record": "unmarked", "id": "a" * 32},
        {"record": "choice", "song": song.id, "name": "depth", "value": "lean",
         "changed": "2024-05-06T10:08:09+00:00"},
        {"record": "setting", "name": "port", "value": "Piano"},
    ]  # fmt: skip
    assert "späte Terz" in text


@settings(max_examples=50)
@given(st.builds(
    planted.mark, st.just(""), st.just(planted.song()), st.integers(0, 19),
    words=st.text(), chord=st.text(max_size=5), kind=st.sampled_from(Kind),
    beat=st.none() | st.fractions(0, 99), pass_=st.integers(0, 99),
    tempo=st.floats(0, 999), goal=st.floats(0, 999), time=st.datetimes(
        min_value=START.replace(year=2, tzinfo=None), timezones=st.timezones()
    ),
    day=st.dates(), bar=st.none() | st.integers(0, 19),
    anchor=st.builds(
        Anchor, *[st.sampled_from(["", "0" * 16, "1" * 16])] * 3, st.integers(0, 99), st.text()
    ),
))  # fmt: skip
def test_any_mark_comes_back(mark: MarkRecord) -> None:
    store, other = Store.in_memory(), Store.in_memory()
    store.mark(replace(mark, song=store.song_opened("/gone/a", "A").id))
    _merged(other, store)
    assert other.marks() == store.marks()
    assert (other.marks()[0].words, other.marks()[0].beat) == (mark.words, mark.beat)


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"])
def test_a_table_holds_no_formula(store: Store, tmp_path: Path, start: str) -> None:
    # OWASP, "CSV Injection": cells that begin with these are run by spreadsheets
    sheet = planted.song()
    song = store.song(sheet).id
    store.mark(planted.mark(song, sheet, words=start))
    write_out(store.database, tmp_path / "log.csv")
    text = (tmp_path / "log.csv").read_text("utf-8")
    assert f"'{start}" in text
    assert f",{start}" not in text
