"""The chord now, its palette, and the chord next, as plain rows."""

from dataclasses import replace

from tests.tui.plain_rows import plain_rows

from chartwalk_tui.widgets.chord_next import ChordNext, draw_next
from chartwalk_tui.widgets.chord_now import (
    ChordLetters,
    ChordNow,
    ChordNowView,
    PaletteTone,
    draw_letters,
    draw_palette,
)
from chartwalk_tui.widgets.drawing import Picture, row_width
from chartwalk_tui.widgets.letters import big

LETTERS = ChordLetters("B", "-7♯5")
TONES = (
    PaletteTone("B", "root", "now"),
    PaletteTone("D", "♭3", "strong"),
    PaletteTone("F♯♯=G", "♯5", "strong"),
    PaletteTone("A", "♭7", "strong"),
)
SLASH = ChordNow(ChordLetters("F", "", "/C"), TONES, "over C, the 5th")


def heights(picture: Picture) -> int:
    """Count the rows with ink."""
    return sum(bool(row) for row in plain_rows(picture))


def roles(picture: Picture, text: str) -> set[str]:
    """Find the roles of the spans that hold a text."""
    return {role for row in picture for span, role in row if text in span}


def test_the_symbol_is_as_large_as_the_room_lets_it() -> None:
    low, high = draw_letters(LETTERS, 120, 5, "now"), draw_letters(LETTERS, 120, 12, "now")
    assert heights(low) == 5
    assert heights(high) == 12


def test_a_symbol_too_wide_is_drawn_smaller_but_whole() -> None:
    wide = ChordLetters("E♭", "maj7(♯11)", "/G")
    sizes = [heights(draw_letters(wide, width, 14, "now")) for width in (150, 100, 70, 56)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > sizes[-1]


def test_the_root_stands_before_what_follows_it() -> None:
    rows = plain_rows(draw_letters(ChordLetters("G"), 60, 6, "now"))
    assert rows == [row.rstrip() for row in big("G", 6)]


def test_a_narrow_place_gets_the_symbol_as_text() -> None:
    assert "".join(plain_rows(draw_letters(LETTERS, 8, 6, "now"))).strip() == "B-7♯5"


def test_a_long_symbol_gets_a_big_root_with_the_rest_beside_it() -> None:
    long = ChordLetters("E♭", "maj7(♯11)", "/G")
    for width in (22, 30, 34):
        picture = draw_letters(long, width, 6, "now")
        rows = plain_rows(picture)
        assert heights(picture) >= 3
        assert max(map(row_width, picture)) <= width
        top = next(row for row in rows if row)
        assert top.endswith("maj7(♯11)"), "what follows the root is raised to its top"
        assert rows[-1].endswith("/G"), "the bass stands on the base line"
        letters = [row.removesuffix("maj7(♯11)").removesuffix("/G").rstrip() for row in rows]
        root = [row.rstrip() for row in big("E♭", heights(picture))]
        assert [row for row in letters if row] == root
        assert roles(picture, "/G") == {"bass"}


def test_the_big_root_grows_before_it_is_given_up() -> None:
    long = ChordLetters("E♭", "maj7(♯11)", "/G")
    sizes = [heights(draw_letters(long, width, 9, "now")) for width in (34, 28, 23, 16)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 3
    assert sizes[-1] == 1, "then the symbol is plain text"


def test_a_symbol_that_fits_in_letters_is_all_letters() -> None:
    for width in (48, 70, 100):
        text = "".join(plain_rows(draw_letters(LETTERS, width, 6, "now")))
        assert not set(text) & set("B-7♯5")


def test_a_symbol_without_strokes_is_shown_as_text() -> None:
    picture = draw_letters(ChordLetters("漢", "7"), 60, 6, "now")
    assert "".join(plain_rows(picture)).strip() == "漢7"


def test_words_stand_where_there_is_no_chord() -> None:
    picture = draw_letters(ChordLetters(words="no chord yet"), 60, 5, "now")
    assert plain_rows(picture) == ["", "", "no chord yet"]


def test_the_bass_of_a_slash_chord_has_its_own_role() -> None:
    picture = draw_letters(ChordLetters("F", "m7", "/C"), 100, 6, "now")
    assert {role for row in picture for _, role in row} == {"now", "bass"}


def test_the_palette_names_each_tone_over_its_degree() -> None:
    names, degrees = plain_rows(draw_palette(ChordNow(LETTERS, TONES), 60, 2))
    assert names.split() == ["B", "D", "F♯♯=G", "A"]
    assert degrees.split() == ["root", "♭3", "♯5", "♭7"]
    for name, degree in zip(names.split(), degrees.split(), strict=True):
        assert names.index(name) == degrees.index(degree), f"{degree} stands under {name}"


def test_the_palette_says_the_bass() -> None:
    assert plain_rows(draw_palette(SLASH, 60, 2))[0].endswith("over C, the 5th")
    assert plain_rows(draw_palette(SLASH, 80, 1))[0].endswith("over C, the 5th")


def test_a_palette_in_one_row_keeps_degrees_while_they_fit() -> None:
    wide, narrow = (plain_rows(draw_palette(ChordNow(LETTERS, TONES), w, 1)) for w in (60, 20))
    assert wide == ["B root  D ♭3  F♯♯=G ♯5  A ♭7"]
    assert narrow == ["B D F♯♯=G A"]


def test_tensions_and_root_keep_their_roles() -> None:
    tones = (PaletteTone("C", "root", "now"), PaletteTone("D", "9th", "tension"))
    for height in (1, 2):
        picture = draw_palette(ChordNow(ChordLetters("C", "9"), tones), 60, height)
        assert roles(picture, "C") == {"now"}
        assert roles(picture, "D") == {"tension"}


def test_the_chord_now_fills_its_place_exactly() -> None:
    view = ChordNowView()
    for width, height in ((60, 12), (47, 9), (34, 6), (30, 5)):
        picture = view.draw(SLASH, width, height)
        assert len(picture) == height
        assert all(row_width(row) <= width for row in picture)


NEXT = ChordNext(
    ChordLetters("D", "7♭9"),
    when="on beat 3",
    names="D F♯ A C E♭",
    stays="A C",
    moves="F→F♯ +D +E♭",
    bass="C→D",
)


def test_the_chord_next_says_when_and_how_the_hands_get_there() -> None:
    rows = plain_rows(draw_next(NEXT, 40, 9))
    assert rows[0] == "coming on beat 3"
    assert rows[-4:] == ["D F♯ A C E♭", "stays A C", "moves F→F♯ +D +E♭", "bass  C→D"]
    assert big("D", 4)[0].rstrip() in rows[1]


def test_the_chord_next_in_a_low_place_puts_the_symbol_in_its_first_row() -> None:
    rows = plain_rows(draw_next(NEXT, 40, 5))
    assert rows == [
        "D7♭9  on beat 3", "D F♯ A C E♭", "stays A C", "moves F→F♯ +D +E♭", "bass  C→D",
    ]  # fmt: skip


def test_the_chord_next_is_smaller_than_the_chord_now() -> None:
    assert heights(draw_letters(NEXT.letters, 90, 14, "now")) > heights(
        draw_letters(NEXT.letters, 60, 4, "next")
    )
    assert len(draw_next(NEXT, 60, 20)) < 14


def test_what_does_not_change_is_left_out() -> None:
    rows = plain_rows(draw_next(ChordNext(ChordLetters("F"), "next bar", names="F A C"), 40, 9))
    assert not any(row.startswith(("stays", "moves", "bass")) for row in rows)
    assert rows[-1] == "F A C"


def test_the_jump_before_the_next_chord_is_told() -> None:
    jump = replace(NEXT, when="next bar", why="repeat, 2nd time")
    for height in (5, 9, 12):
        rows = plain_rows(draw_next(jump, 30, height))
        assert len(rows) <= height
        assert "repeat, 2nd time" in rows or height == 5, "the way there comes first"


def test_names_and_news_are_shown_as_they_are_given() -> None:
    news = ChordNext(
        ChordLetters("A", "♯7"), "in 2 bars, on the and of 3", "segno · 2/4, G major",
        names="A♯ C♯♯=D E♯=F G♯", moves="A→B♭ +D", bass="A→B♭",
    )  # fmt: skip
    rows = plain_rows(draw_next(news, 40, 11))
    assert rows[0] == "coming in 2 bars, on the and of 3"
    assert rows[1] == "segno · 2/4, G major"
    assert rows[-3:] == ["A♯ C♯♯=D E♯=F G♯", "moves A→B♭ +D", "bass  A→B♭"]


def test_a_jump_is_told_before_what_does_not_fit() -> None:
    short = ChordNext(ChordLetters("C"), "next bar", "repeat, 2nd time", "C E G", "C E G", "", "C")
    assert "repeat, 2nd time" in plain_rows(draw_next(short, 22, 6))


def test_the_last_chord_says_so() -> None:
    for words in ("no more changes", "this sheet has no chords"):
        rows = plain_rows(draw_next(ChordNext(ChordLetters(words=words)), 40, 9))
        assert rows == [words], "nothing is coming any more"
