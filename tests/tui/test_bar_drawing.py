"""The bar under way as plain rows: beats, chords, notes and words on one line of time."""

from dataclasses import replace
from fractions import Fraction

import pytest
from rich.cells import cell_len
from tests.tui.plain_rows import plain_rows

from chartwalk_tui.widgets.bar_grid import BarView, Placed, draw_bar


def at(beat: float, text: str, role: str = "plain", until: float | None = None) -> Placed:
    """Place a text on a beat of a bar of four; a note may give way to its name alone."""
    held = None if until is None else Fraction(until - 1) / 4
    return Placed(Fraction(beat - 1) / 4, text, role, short=text[0], until=held)


BEATS = tuple(at(beat, str(beat), "dim") for beat in (1, 2, 3, 4))
BAR = BarView(
    beats=BEATS,
    chords=(at(1, "F/C", "here"), at(3, "D7♭9", "next")),
    notes=(at(1, "C5", until=2.5), at(2.5, "D5"), at(3, "C5", until=4), at(4, "A4", until=5)),
    words=(at(1, "har-"), at(2.5, "bour"), at(3, "mouth"), at(4, "is")),
)


def test_the_four_rows_are_beats_chords_notes_and_words() -> None:
    beats, chords, notes, words = plain_rows(draw_bar(BAR, 77, 4))
    assert beats.replace("─", " ").split() == ["1", "2", "3", "4"]
    assert chords.split() == ["F/C", "D7♭9"]
    assert [part for part in notes.replace("─", " ").split() if part[0].isalpha()] == [
        "C5", "D5", "C5", "A4",
    ]  # fmt: skip
    assert words.split() == ["har-", "bour", "mouth", "is"]


@pytest.mark.parametrize("width", [58, 77, 98, 200])
def test_words_and_chords_stand_under_their_notes_and_beats(width: int) -> None:
    beats, chords, notes, words = plain_rows(draw_bar(BAR, width, 4))
    assert beats.index("1") == chords.index("F/C") == notes.index("C5") == words.index("har-")
    assert beats.index("3") == chords.index("D7♭9") == notes.rindex("C5") == words.index("mouth")
    assert notes.index("D5") == words.index("bour")
    assert beats.index("4") == notes.index("A4") == words.index("is")


def test_a_fermata_is_told_at_its_beat_where_there_is_room() -> None:
    held = (*BEATS[:3], replace(BEATS[3], text="4 hold"))
    wide, narrow = (draw_bar(BarView(held, notes=(at(2, "C5", until=5),)), w, 4) for w in (40, 21))
    assert "4 hold" in plain_rows(wide)[0]
    assert plain_rows(narrow)[0].rstrip("─ ").endswith(" 4"), "never a part of the word"
    count = plain_rows(wide)[2].split("C5")[1].replace("─", " ").split()
    assert count == ["3", "4"], "the count of a long note is numbers alone"


@pytest.mark.parametrize("beat", range(4))
def test_the_lit_beat_stands_in_a_box(beat: int) -> None:
    lit = BarView(BEATS, beat=beat)
    row = plain_rows(draw_bar(lit, 60, 4))[0]
    assert f"▐{beat + 1}▌" in row
    assert row.count("▐") == row.count("▌") == 1
    still = plain_rows(draw_bar(BarView(BEATS), 60, 4))[0]
    assert "▐" not in still
    assert row.replace("▐", " ").replace("▌", " ") == still, "nothing else moves"


def test_the_first_beat_has_an_accent_of_its_own() -> None:
    first, second = (
        {role for text, role in draw_bar(BarView(BEATS, beat=beat), 60, 4)[0] if "▐" in text}
        for beat in (0, 1)
    )
    assert first != second


def test_a_long_note_is_held_by_a_line_that_counts_the_beats() -> None:
    whole = BarView(BEATS, notes=(at(1, "G4", until=5),))
    notes = plain_rows(draw_bar(whole, 61, 4))[2]
    assert notes.strip().startswith("G4─")
    assert notes.replace("─", " ").split() == ["G4", "2", "3", "4"]
    beats = plain_rows(draw_bar(whole, 61, 4))[0]
    for number in "234":
        assert notes.index(number, 4) == beats.index(number), "the count stands under its beat"


def test_a_hold_ends_before_the_next_note() -> None:
    notes = plain_rows(draw_bar(BAR, 77, 4))[2]
    assert notes[notes.index("D5") - 1] == " "
    assert notes[notes.index("C5") + 2] == "─"


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7, 9])
@pytest.mark.parametrize("width", [58, 78, 98])
def test_the_last_beat_is_seen_whole_when_it_is_lit(width: int, count: int) -> None:
    beats = tuple(Placed(Fraction(n, count), str(n + 1), "dim") for n in range(count))
    row = plain_rows(draw_bar(BarView(beats, beat=count - 1), width, 4))[0]
    assert f"▐{count}▌" in row


def test_a_compound_beat_shows_the_notes_it_falls_into() -> None:
    beats = (Placed(Fraction(0), "1", "dim"), Placed(Fraction(1, 2), "2", "dim"))
    pulses = tuple(Fraction(n, 6) for n in range(6))
    row = plain_rows(draw_bar(BarView(beats, pulses=pulses), 60, 4))[0]
    assert row.replace("─", " ").split() == ["1", "·", "·", "2", "·", "·"]


def test_a_low_place_leaves_the_chords_out_first() -> None:
    rows = plain_rows(draw_bar(BAR, 77, 3))
    assert len(rows) == 3
    assert not any("D7♭9" in row for row in rows)
    assert "mouth" in rows[2]


def test_words_that_would_cover_each_other_move_apart() -> None:
    crowd = BarView(BEATS, words=tuple(at(1 + n / 4, "wonder-") for n in range(4)))
    words = plain_rows(draw_bar(crowd, 60, 4))[3]
    assert words.split() == ["wonder-"] * 4


def test_notes_that_would_cover_each_other_can_all_be_read() -> None:
    crowd = BarView(BEATS, notes=tuple(at(1 + n / 4, f"{name}4") for n, name in enumerate("CDEF")))
    wide, narrow = (plain_rows(draw_bar(crowd, width, 4))[2] for width in (60, 40))
    assert wide.split() == ["C4", "D4", "E4", "F4"]
    assert narrow.split() == ["C", "D", "E4", "F4"], "the octave is left out where it must be"
    for name in "CDEF":
        place = Fraction("CDEF".index(name), 16)
        assert narrow.index(name) == int(place * 39) + 1, "none had to move"


def test_a_note_without_a_short_form_moves_right_and_is_whole() -> None:
    tied = tuple(Placed(Fraction(n, 16), f"({name}4)", "plain") for n, name in enumerate("CDEF"))
    notes = plain_rows(draw_bar(BarView(BEATS, notes=tied), 40, 4))[2]
    assert notes.split() == ["(C4)", "(D4)", "(E4)", "(F4)"]


def test_words_stand_under_their_notes_where_the_notes_had_to_move() -> None:
    places = [Fraction(n, 16) for n in range(4)]
    names = ["(C4)", "(D4)", "(E4)", "(F4)"]
    crowd = BarView(
        BEATS,
        notes=tuple(Placed(p, name, "plain") for p, name in zip(places, names, strict=True)),
        words=tuple(Placed(p, word, "strong") for p, word in zip(places, "abcd", strict=True)),
    )
    _, _, notes, words = plain_rows(draw_bar(crowd, 40, 4))
    for name, word in zip(names, "abcd", strict=True):
        assert notes.index(name) == words.index(word)
    assert notes.index("(F4)") > int(places[3] * 39) + 1, "they did move"


def test_a_word_on_no_note_stands_on_its_place() -> None:
    words = plain_rows(draw_bar(BarView(BEATS, words=(at(3, "oh"),)), 61, 4))[3]
    assert words.index("oh") == int(Fraction(1, 2) * 60) + 1


def test_the_next_bar_stands_beside_the_bar_under_way() -> None:
    coming = BarView(
        BEATS, chords=(at(1, "G7"),), notes=(at(1, "B4", until=5),), words=(at(1, "deep"),)
    )
    rows = plain_rows(draw_bar(replace(BAR, ahead=coming), 100, 4))
    assert {row.index("│") for row in rows} == {64}
    assert [row[:64].rstrip() for row in rows] == plain_rows(draw_bar(BAR, 64, 4))
    assert [row[65:] for row in rows] == plain_rows(draw_bar(coming, 35, 4))


def test_what_is_cut_of_the_next_bar_leaves_the_bar_under_way_whole() -> None:
    crowd = BarView(BEATS, words=tuple(at(1 + n / 2, "wondering-") for n in range(8)))
    rows = plain_rows(draw_bar(replace(BAR, ahead=crowd), 58, 3))
    assert all(cell_len(row) <= 58 for row in rows)
    assert rows[2].endswith("…")
    assert [row[:37].rstrip() for row in rows] == plain_rows(draw_bar(BAR, 37, 3))


@pytest.mark.parametrize(("width", "beside"), [(45, True), (44, False), (58, True), (20, False)])
def test_the_next_bar_is_left_out_where_it_has_less_than_sixteen_columns(
    width: int, *, beside: bool
) -> None:
    alone = plain_rows(draw_bar(BAR, width, 4))
    rows = plain_rows(draw_bar(replace(BAR, ahead=BAR), width, 4))
    if beside:
        assert all(row[int(width * 0.64)] == "│" for row in rows)
    else:
        assert rows == alone


def test_the_lit_beat_is_in_the_bar_under_way_alone() -> None:
    row = plain_rows(draw_bar(BarView(BEATS, beat=2, ahead=BarView(BEATS)), 78, 4))[0]
    here, _, coming = row.partition("│")
    assert "▐3▌" in here
    assert "▐" not in coming
    assert coming.replace("─", " ").split() == ["1", "2", "3", "4"]


def test_wide_letters_take_the_room_they_need() -> None:
    sung = BarView(BEATS, words=(at(1, "港の"), at(2, "灯"), at(3, "り")))
    words = plain_rows(draw_bar(sung, 60, 4))[3]
    assert words.split() == ["港の", "灯", "り"]
