"""Which song a chart is: edited, renamed, moved, copied, or another one in its place."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.files import open_song
from chartwalk.log import SongRecord, Store
from chartwalk.log.identity import alike, likeness
from chartwalk.log.songs import Sheet

ROW = "C Dm Em F G7 Am Bdim Cmaj7 Dm7 Em7 Fmaj7 G9"
OTHER = "Bb Eb Ab Db Gb B E A D Gm Cm Fm"

Write = Callable[..., Path]
Open = Callable[[Path], SongRecord]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a chart file of some chords, a bar each."""

    def make(name: str, chords: str = ROW, title: str = "Low Water") -> Path:
        file = tmp_path / name
        file.parent.mkdir(exist_ok=True)
        row = " | ".join(chords.split())
        file.write_text(f"title {title}\nmeter 4/4\n\nchords | {row} |\n", encoding="utf-8")
        return file

    return make


@pytest.fixture
def opened(store: Store) -> Open:
    """Open a chart file as the program does."""
    return lambda file: store.song(open_song(file))


def test_the_same_file_is_the_same_song(write: Write, opened: Open) -> None:
    file = write("a.lead")
    first, second = opened(file), opened(file)
    assert first.id == second.id
    assert first.path == str(file.resolve())
    assert first.opened < second.opened


@pytest.mark.parametrize(
    ("chords", "title"),
    [
        (f"{ROW} C6", "Low Water"),
        (ROW, "High Water"),
        ("C Dm Em F G7 Am Gb Gb Gb Gb Gb Gb", "High Water"),  # half of the bars
        (OTHER, "Low Water"),  # written anew
    ],
)
def test_an_edited_file_is_the_same_song(
    write: Write, opened: Open, chords: str, title: str
) -> None:
    first = opened(write("a.lead"))
    again = opened(write("a.lead", chords, title))
    assert again.id == first.id
    assert again.title == title


def test_another_song_under_an_old_name_is_another_song(
    write: Write, opened: Open, store: Store
) -> None:
    first = opened(write("a.lead"))
    second = opened(write("a.lead", OTHER, "Tarrowhythe Bells"))
    assert second.id != first.id
    assert {(song.id, song.path) for song in store.songs()} == {
        (first.id, ""), (second.id, second.path),
    }  # fmt: skip
    assert opened(write("found again.lead")).id == first.id


def test_a_renamed_file_is_the_same_song(write: Write, opened: Open, store: Store) -> None:
    file = write("a.lead")
    first = opened(file)
    moved = opened(file.rename(file.with_name("b.lead")))
    assert moved.id == first.id
    assert moved.path.endswith("b.lead")
    assert len(store.songs()) == 1


def test_a_moved_file_that_was_edited_is_the_same_song(
    write: Write, opened: Open, tmp_path: Path
) -> None:
    file = write("a.lead")
    first = opened(file)
    file.unlink()
    assert opened(write("folder/a.lead", f"{ROW} C6 F6")).id == first.id
    shutil.rmtree(tmp_path / "folder")
    assert opened(write("c.lead", f"{ROW} C6 F6", "With another title")).id == first.id


def test_a_copied_file_is_another_song(write: Write, opened: Open, store: Store) -> None:
    first = opened(write("a.lead"))
    copy = opened(write("copy of a.lead"))
    assert copy.id != first.id
    assert opened(write("a.lead")).id == first.id
    assert opened(write("copy of a.lead")).id == copy.id
    assert len(store.songs()) == 2


def test_two_files_that_changed_names_keep_their_songs(
    write: Write, opened: Open, store: Store
) -> None:
    """The one that is opened first finds its name taken by the other; then its own is free."""
    a, b = opened(write("a.lead")), opened(write("b.lead", OTHER, "Tarrowhythe Bells"))
    file = write("a.lead", OTHER, "Tarrowhythe Bells")
    other = write("b.lead")
    (file.parent / "c.lead").write_bytes(file.read_bytes())
    file.unlink()
    assert opened(file.parent / "c.lead").id != b.id, "b's file is there"
    assert opened(other).id == a.id, "a's file is gone"


@pytest.mark.parametrize(
    ("chords", "title"),
    [
        (OTHER, "Low Water"),  # the same title alone
        ("C Dm Em F G7 Am Bdim Cmaj7 Dm7 Em7 Fmaj7 Db", "Low Tide"),  # nearly the same bars alone
    ],
)
def test_a_song_that_is_only_somewhat_like_one_whose_file_is_gone_is_new(
    write: Write, opened: Open, chords: str, title: str
) -> None:
    file = write("a.lead")
    first = opened(file)
    file.unlink()
    assert opened(write("b.lead", chords, title)).id != first.id


def test_songs_on_the_chords_of_a_common_form_are_not_one(write: Write, opened: Open) -> None:
    """Twelve bars of three chords say nothing about the song."""
    blues = "C C C C F F C C G F C G"
    file = write("a.lead", blues, "Blues for a Barge")
    first = opened(file)
    file.unlink()
    assert opened(write("b.lead", blues, "Quayside Blues")).id != first.id


def test_the_most_alike_of_those_that_are_gone_is_it(write: Write, opened: Open) -> None:
    ids = {}
    for name, chords in (("a.lead", ROW), ("b.lead", f"{ROW} C6 F6"), ("c.lead", f"{ROW} Bb")):
        ids[name] = opened(write(name, chords)).id
    for name in ids:
        write(name).unlink()
    assert opened(write("new.lead", f"{ROW} C6 F6 Eb")).id == ids["b.lead"]


BOOK = "X:{}\nT:{}\nM:4/4\nL:1/4\nK:C\n{}|\n\n"
TUNES = {
    "Lamp": '"C"CDEF|"F"FGAc|"G"GGBd|"C"c4',
    "Rope": '"Am"ABcd|"Dm"defg|"E"e2^g2|"Am"a4',
    "Sail": '"G"GABG|"D"dcBA|"Em"EGBe|"G"G4',
}


def test_tunes_of_a_book_that_get_other_numbers_are_the_same(opened: Open, tmp_path: Path) -> None:
    def book(*titles: str) -> dict[str, str]:
        text = "".join(BOOK.format(n, title, TUNES[title]) for n, title in enumerate(titles, 1))
        (tmp_path / "book.abc").write_text(text, encoding="utf-8")
        found = {}
        for number in reversed(range(1, len(titles) + 1)):  # the one that moved is opened first
            song = opened(tmp_path / f"book.abc#{number}")
            found[song.title] = song.id
        return found

    before = book("Lamp", "Rope")
    after = book("Sail", "Lamp", "Rope")
    assert {title: after[title] for title in before} == before
    assert len(set(after.values())) == 3


def test_likeness_is_the_same_from_both_sides() -> None:
    # Dice, "Measures of the amount of ecologic association between species", Ecology 26(3), 1945
    assert likeness("abcd", "abxy") == likeness("abxy", "abcd") == 0.5
    assert likeness("aabb", "ab") == pytest.approx(2 / 3)
    assert likeness("", "") == 0
    one, other = Sheet("/a", "T", ("1", "2")), Sheet("/b", "T", ("2", "3"))
    assert alike(one, other)
    assert alike(other, one)
    assert alike(Sheet("/a", "T"), other), "an old log knows the title alone"
    assert not alike(Sheet("/a", "S"), other)
