"""What the log knows now: songs opened anew, spots due and later, songs and bars that are gone."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from tests.log import planted
from tests.trouble.logs import START, Log, after, on, straight, written

from chartwalk.log import SongRecord, Store, anchor_at
from chartwalk.log.anchors import fingerprints
from chartwalk.problems import ChartError, Problem
from chartwalk.song import Song
from chartwalk.trouble import Records, Review, Reviewer
from chartwalk.trouble.review import MOST, SINCE


def record(id_: str) -> SongRecord:
    return SongRecord(id_, f"/songs/{id_}.lead", id_.upper(), START, ())


def records(*logs: Log) -> Records:
    """The records of some songs, the latest first, and of one that was only opened."""
    marks = sorted((m for log in logs for m in log.marks), key=lambda m: m.time, reverse=True)
    passes = sorted((p for log in logs for p in log.passes), key=lambda p: p.time, reverse=True)
    songs = [record(log.song) for log in logs] + [record("idle")]
    return Records(tuple(songs), tuple(marks), tuple(passes))


def opener(**songs: Song) -> Callable[[Path], Song]:
    def open_(path: Path) -> Song:
        assert path.stem != "idle", "what was never practised is not opened"
        if path.stem not in songs:
            raise ChartError([Problem("no such file", file=str(path))])
        return songs[path.stem]

    return open_


def looked(*logs: Log, day: float = 0, **songs: Song) -> Review:
    return Reviewer(opener(**songs)).review(records(*logs), after(day))


def test_spots_of_all_songs_the_worst_first() -> None:
    found = looked(
        Log("a").mark(1), Log("b").mark(2).mark(2).mark(2), a=straight("A"), b=straight("B")
    )
    assert [(spot.song, spot.bars) for spot in found.spots] == [("b", (2,)), ("a", (1,))]
    assert set(found.songs) == {"a", "b"}
    assert found.today == on(0)


def test_what_was_only_played_is_a_song_of_the_log_without_a_spot() -> None:
    found = looked(Log("a").played(0, 3), a=straight())
    assert list(found.songs) == ["a"]
    assert found.spots == ()


def test_a_spot_is_due_the_day_after_its_mark_and_until_it_was_practised() -> None:
    log = Log("a").mark(1)
    today = looked(log, a=straight())
    assert not today.due
    assert not today.later
    assert today.fresh, "marked today, it can be worked on at once"
    for day in (1, 2, 9):
        found = looked(log, day=day, a=straight())
        assert [spot.bars for spot in found.due] == [(1,)]
        assert not found.later
        assert not found.fresh


def test_a_healed_spot_comes_after_all_others_that_are_due() -> None:
    log = Log("a").mark(1).mark(5, 150).played(5, 5, 151).played(5, 5, 152)
    found = looked(log, day=160, a=straight())
    assert [spot.bars for spot in found.spots] == [(5,), (1,)], "by trouble alone"
    assert [spot.bars for spot in found.due] == [(1,), (5,)]


def test_what_is_due_later_comes_by_its_day() -> None:
    log = Log("a").mark(5).mark(1).played(5, 5, day=1).played(5, 5, day=1).mark(1, day=1)
    found = looked(log, day=1, a=straight())
    assert not found.due
    assert [spot.bars for spot in found.fresh] == [(1,)]
    assert [spot.bars for spot in found.later] == [(5,)]
    found = looked(log.played(1, 1, day=2), day=2, a=straight())
    days = [found.returns[spot].day for spot in found.later]
    assert days == sorted(days)
    assert not found.fresh


def test_a_song_whose_file_is_gone_is_told_and_its_marks_are_kept() -> None:
    found = looked(Log("a").mark(1), Log("b").mark(2), a=straight())
    assert [song.title for song in found.lost] == ["B"]
    assert {spot.song for spot in found.spots} == {"a"}
    assert len(found.records.marks) == 2


def test_marks_on_bars_that_are_no_longer_there_are_told() -> None:
    log = Log("a").mark(1).mark(None)
    found = looked(log, a=straight())
    assert [mark.bar for mark in found.unplaced] == [None]
    assert [spot.bars for spot in found.spots] == [(1,)]
    assert not looked(log).unplaced, "of a song that is gone nothing is known"


def edited(rows: str, *, of: Song) -> Review:
    """Mark the second bar of a song and play it with the third; then look at the song as edited."""
    log = Log("a").mark(1, anchor=anchor_at(of.bars, 1))
    log.played(1, 2, 1)
    first, last = (anchor_at(of.bars, bar) for bar in (1, 2))
    log.passes = [replace(each, first=first, last=last) for each in log.passes]
    opened = replace(record("a"), prints=fingerprints(of.chart))
    seen = replace(records(log), songs=(opened,))
    return Reviewer(opener(a=written(f"chords {rows}"))).review(seen, after(1))


def test_spots_move_with_their_bars_in_a_chart_edited_since_it_was_opened() -> None:
    found = edited("| Bb | C | F | G | Am |", of=straight())
    assert [spot.bars for spot in found.spots] == [(2,)]
    assert [each.span for each in found.spots[0].passes] == [(2, 3)]
    assert not found.unplaced


def test_a_bar_taken_out_of_a_chart_since_it_was_opened_is_told() -> None:
    found = edited("| C | G | Am |", of=straight())
    assert not found.spots
    assert len(found.unplaced) == 1


def test_a_mark_known_by_its_place_alone_stays_until_the_song_is_opened() -> None:
    log = Log("a").mark(1)
    opened = replace(record("a"), prints=fingerprints(straight().chart))
    seen = replace(records(log), songs=(opened,))
    found = Reviewer(opener(a=written("chords | Bb | C | F |"))).review(seen, after(0))
    assert [spot.bars for spot in found.spots] == [(1,)]


def test_a_path_that_no_file_can_have_here_is_a_file_that_is_gone() -> None:
    elsewhere = replace(record("a"), path="/songs/a\0b.lead")
    seen = replace(records(Log("a").mark(1)), songs=(elsewhere,))
    assert Reviewer().review(seen, after(0)).lost == (elsewhere,)


def test_an_empty_log() -> None:
    found = looked()
    assert (found.songs, found.spots, found.due, found.later) == ({}, (), (), ())


def test_the_records_are_the_latest_of_the_store() -> None:
    store = Store.in_memory()
    song = planted.song()
    id_ = store.song(song).id
    today = planted.START.date()
    old = planted.START - SINCE - timedelta(days=1)
    run = planted.run(id_)
    store.run_started(run)
    for time in (planted.START, old):
        made = planted.mark(id_, song)
        store.mark(replace(made, time=time, day=time.date()))
        each = planted.played(id_, song, run.id)
        store.write_pass(replace(each, time=time, day=time.date()))
    read = Records.of(store, today)
    assert [song.id for song in read.songs] == [id_]
    assert [mark.day for mark in read.marks] == [today], "what is too old to count is not read"
    assert [each.day for each in read.passes] == [today]
    assert [each.id for each in read.runs] == [run.id]
    assert MOST >= 1000, "a busy player's evenings of weeks"
    store.close()


def ticks() -> Iterator[float]:
    """A clock on which every look takes a second."""
    now = 0.0
    while True:
        yield now
        now += 1


def test_song_after_song_those_marked_most_first() -> None:
    logs = [Log("a").mark(1), Log("b").mark(2).mark(3).mark(4), Log("c").mark(5).mark(6)]
    songs = {name: straight(name) for name in "abc"}
    clock = ticks()
    told = list(Reviewer(opener(**songs), lambda: next(clock)).reviews(records(*logs), after(0)))
    assert [list(found.songs) for found in told] == [["b"], ["b", "c"], ["b", "c", "a"]]
    assert [found.left for found in told] == [2, 1, 0]
    assert {spot.song for spot in told[0].spots} == {"b"}
    whole = Reviewer(opener(**songs)).review(records(*logs), after(0))
    assert told[-1] == whole


def test_a_song_is_opened_again_only_when_its_file_has_changed(tmp_path: Path) -> None:
    file = tmp_path / "a.lead"
    file.write_text("one")
    opened = []

    def open_(path: Path) -> Song:
        opened.append(path)
        return straight(path.read_text())

    reviewer = Reviewer(open_)
    log = Log("a").mark(1)
    seen = replace(records(log), songs=(replace(record("a"), path=str(file)),))
    for _ in range(2):
        assert reviewer.review(seen, after(0)).songs["a"].chart.title == "one"
    assert opened == [file]
    file.write_text("another")
    assert reviewer.review(seen, after(0)).songs["a"].chart.title == "another"
    assert opened == [file, file]


def test_what_is_remembered_is_what_would_be_found_anew() -> None:
    songs = {"a": straight("A"), "b": straight("B")}
    reviewer = Reviewer(opener(**songs))
    a, b = Log("a").mark(1).mark(4), Log("b").mark(2)
    for day in (0, 1, 1, 20):
        assert reviewer.review(records(a, b), after(day)) == looked(a, b, day=day, **songs)
    a.played(0, 3, day=21)
    b.mark(7, day=21)
    for day in (21, 22):
        assert reviewer.review(records(a, b), after(day)) == looked(a, b, day=day, **songs)
