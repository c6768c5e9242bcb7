"""What is wrong with a text: file, line, column, what was found and what would fit."""

from collections.abc import Callable

import pytest

from chartwalk.leadfile import loads
from chartwalk.problems import ChartError

Found = Callable[..., list[str]]

# Rows from line 4 on, the place, what the message must name: what was found, what would fit.
IN_ROWS = [
    # Chords.
    ("chords | C | C7zz |", "4:16", ["'C7zz'", "'zz'", "an alteration"]),
    ("chords | C   Hm7 |", "4:14", ["'Hm7'", "a root A to G"]),
    ("chords | c |", "4:10", ["'c'", "C"]),
    ("chords | C/ |", "4:12", ["'C/'", "a bass note"]),
    ("chords | C D E |", "4:10", ["3 chords", "4/4", "1, 2, 4", "/", "G@1"]),
    ("chords | C D E F G |", "4:10", ["5 chords", "1, 2, 4"]),
    ("chords | % |", "4:10", ["%", "the bar before"]),
    ("chords | C | % D |", "4:14", ["'%'", "alone in its bar"]),
    ("chords | G@1 C |", "4:14", ["'C'", "needs its beat", "G@1 C@3.5"]),
    ("chords | G@1 C@ |", "4:14", ["'C@'", "needs its beat"]),
    ("chords | G@1 C@x |", "4:14", ["'C@x'", "needs its beat"]),
    ("chords | G@1 C@5 |", "4:14", ["beat 5", "4/4"]),
    ("chords | G@0 |", "4:10", ["beat 0", "4/4"]),
    ("chords | G@3 C@2 |", "4:14", ["beat 2", "after"]),
    ("chords | G@2 C@2 |", "4:14", ["beat 2", "after"]),
    ("chords | G@1 Czz@2 |", "4:15", ["'Czz'", "'zz'"]),
    # Tune.
    ("tune | X4:4 |", "4:8", ["'X4'", "B4:1.5", "r:1"]),
    ("tune | B4:3 B:1 |", "4:13", ["'B'", "B4:1.5"]),
    ("tune | B4 |", "4:8", ["'B4'", "B4:1.5"]),
    ("tune | B4:x |", "4:8", ["'x'", "1.5 or 1/3"]),
    ("tune | B4:1/0 |", "4:8", ["'1/0'", "1/3"]),
    ("tune | B4:-1 |", "4:8", ["'-1'"]),
    ("tune | B4:1. B4:3 |", "4:8", ["'1.'"]),
    ("tune | B4:1e1 |", "4:8", ["'1e1'"]),
    ("tune | B4:nan |", "4:8", ["'nan'"]),
    ("tune | B4:0 B4:4 |", "4:8", ["'B4:0'", "no length"]),
    ("tune | B4:2 ~B4:2 |", "4:13", ["'~B4:2'"]),
    ("tune | B4:2~~ B4:2 |", "4:8", ["'B4:2~~'"]),
    ("tune | B4:4 | B4:3 |", "4:15", ["3 quarters", "4/4", "4 quarters"]),
    ("tune | B4:3.5 B4:1 |", "4:8", ["4.5 quarters", "4 quarters"]),
    ("tune | B4:1/3 B4:1/3 B4:3 |", "4:8", ["11/3 quarters", "4 quarters"]),
    # Words.
    ("tune  | B4:4 |\nwords | la lo |", "5:12", ["'lo'", "no note", "1 to sing on"]),
    ("tune  | r:4 |\nwords | la |", "5:9", ["'la'", "0 to sing on"]),
    ("tune  | B4:4~ | B4:4 |\nwords | la | lo |", "5:14", ["'lo'", "0 to sing on"]),
    ("tune  | B4:4 |\nwords 2 | la _ |", "5:14", ["'_'", "1 to sing on"]),
    # Road.
    ("tune  | B4:2 B4:2 |\nwords | lan - terns on |", "5:21", ["'on'", "2 to sing on"]),
    ("road | sgno |\nchords | C |", "4:8", ["'sgno'", "segno", "pickup", "1.", "3x"]),
    ("road | segno,  to cod |\nchords | C |", "4:16", ["'to cod'", "to coda"]),
    ("road | 1st |\nchords | C |", "4:8", ["'1st'", "1."]),
    ("road | 0. |\nchords | C |", "4:8", ["'0.'"]),
    ("road | 123. |\nchords | C |", "4:8", ["'123.'"]),
    ("road | 100x |\nchords |: C :|", "4:8", ["'100x'", "3x"]),
    ("road | bar |\nchords | C |", "4:8", ["'bar'"]),
    ("road | bar 1 2 |\nchords | C |", "4:8", ["'bar 1 2'"]),
    ("road | 3x |\nchords | C |", "4:8", [":|"]),
    ("road | | repeat after jump |\nchords | C | C |", "4:10", [":|"]),
    ("road | segno, segno |\nchords | C |", "4:8", ["'segno'", "twice"]),
    ("road | 1., 2. |\nchords | C |", "4:8", ["ending", "twice"]),
    ("road | pickup |\nchords | C |\ntune | B4:4 |", "4:8", ["pickup", "less than a bar of 4/4"]),
    ("road | pickup |\nchords | C / / / |", "4:8", ["pickup", "less than a bar of 4/4"]),
    ("road | pickup |\nchords | |", "4:8", ["pickup", "needs notes", "a beat"]),
    ("road | pickup |\nchords | C@5 |\ntune | B4:1 |", "5:10", ["beat 5", "1 quarter"]),
    # Bar lines and rows.
    ("chords |: C :|: D :|", "4:13", ["':|:'", "| || |: or :|", "end the system"]),
    ("chords | C ||: D :|", "4:12", ["'||:'"]),
    ("chords | C ||| D |", "4:12", ["'|||'"]),
    ("chords :| C |", "4:8", ["':|'", "ends a bar"]),
    ("words :| la |", "4:7", ["':|'", "ends a bar"]),
    ("words 2 :| la |", "4:9", ["':|'", "ends a bar"]),
    ("chords || C |", "4:8", ["'||'", "ends a bar"]),
    ("chords | C |:", "4:12", ["'|:'", "begins a bar"]),
    ("chords C |", "4:8", ["chords row", "begins and ends", "|"]),
    ("chords | C", "4:8", ["chords row", "begins and ends", "|"]),
    ("chords C", "4:8", ["chords row", "|"]),
    ("chords |", "4:8", ["chords row", "at least one bar", "| ... |"]),
    ("words 2 la", "4:7", ["words row", "|"]),
    ("chords | C |\nchords | D |", "5:1", ["second", "'chords'", "a blank line"]),
    ("words | a |\nwords 1 | b |", "5:1", ["second", "words", "a blank line"]),
    ("chords | C | D |\ntune | B4:4 |", "5:1", ["tune row", "1 bar", "chords row", "2"]),
    ("road | | |\nchords | C | D | E |", "4:1", ["road row", "2 bars", "chords row", "3"]),
    ("chords | C | D |\nwords 3 | a |", "5:1", ["words 3 row", "1 bar", "2"]),
    # Words that begin a line.
    ("chord | C |", "4:1", ["'chord'", "did you mean 'chords'"]),
    ("  tunes | r:4 |", "4:3", ["'tunes'", "did you mean 'tune'"]),
    ("lyrics | la |", "4:1", ["'lyrics'", "title", "chords", "words"]),
    ("  # late", "4:3", ["'#'"]),
    # Header words between systems.
    ("chords | C |\n\nmeter 4/5\nchords | D |", "6:7", ["5", "(1, 2, 4, 8, 16, 32)"]),
    ("chords | C |\n\nmeter 0/4\nchords | D |", "6:7", ["'0/4'", "4/4, 6/8 or 3+2/4"]),
    ("meter 4\nchords | C |", "4:7", ["'4'", "4/4, 6/8 or 3+2/4"]),
    ("key   H major\nchords | C |", "4:7", ["'H major'", "'Bb major'"]),
    ("key G\nchords | C |", "4:5", ["'G'", "'G minor'"]),
    ("key G dorian\nchords | C |", "4:5", ["'G dorian'", "'Bb major'"]),
    ("key G# major\nchords | C |", "4:5", ["'G# major'", "7 sharps or flats"]),
    ("tempo fast\nchords | C |", "4:7", ["'fast'"]),
    ("tempo 0\nchords | C |", "4:7", ["'0'", "1 to 999"]),
    ("tempo 1000\nchords | C |", "4:7", ["'1000'", "1 to 999"]),
    ("tempo -5\nchords | C |", "4:7", ["'-5'"]),
    ("tempo 1/2\nchords | C |", "4:7", ["'1/2'", "1 to 999"]),
    ("feel Funky\nchords | C |", "4:6", ["'Funky'", "straight or swing"]),
    ("voice A3\nchords | C |", "4:7", ["'A3'", "lowest and the highest", "A3 D5"]),
    ("voice D5 A3\nchords | C |", "4:7", ["'D5 A3'", "lowest and the highest"]),
    ("voice A3 H5\nchords | C |", "4:7", ["'H5'"]),
    ("tempo\nchords | C |", "4:6", ["'tempo'", "a value"]),
    ("title Two\nchords | C |", "4:1", ["second 'title'", "a chart has one"]),
    ("voice A3 D5\nvoice A3 D5\nchords | C |", "5:1", ["second 'voice'"]),
]
IN_TEXTS = [
    ("meter 4/4\nchords | C |", "1:1", ["needs a title", "'title ...'"]),
    ("title T\n\nchords | C |", "3:1", ["a meter is needed", "'meter 4/4'"]),
    ("title T\nmeter 4/4\n", "1:1", ["no bars", "chords row"]),
    ("title T\nmeter 4/4\nsection A\n", "1:1", ["no bars"]),
    ("", "1:1", ["needs a title"]),
]
# One mistake, whatever hangs on it, is one problem: a text, its only place.
ONCE = {
    "title without a value": ("title\nmeter 4/4\nchords | C |", "1:"),
    "a meter that can't be read": ("title T\nmeter 3/0\nchords | C |\ntune | B4:3 |", "2:7"),
    "no meter": ("title T\n\ntune | B4:3 |\nchords | C D E |", "3:1"),
    "a note in a pickup": (
        "title T\nmeter 4/4\nroad | pickup | |\ntune | X4:1 | B4:4 |",
        "4:8",
    ),
    "a word misspelt above a pickup's notes": (
        "title T\nmeter 4/4\nroad | pickup | |\nchord | | C |\ntune | B4:1 | B4:4 |",
        "4:1",
    ),
    "a bar line forgotten above a pickup's notes": (
        "title T\nmeter 4/4\nroad | pickup | |\nchords | | C\ntune | B4:1 | B4:4 |",
        "4:8",
    ),
    "a bar too many in a pickup's tune": (
        "title T\nmeter 4/4\nroad | pickup | |\nchords | | C |\ntune | B4:1 | B4:4 | B4:4 |",
        "5:1",
    ),
    "a chord in a bar that is repeated": ("title T\nmeter 4/4\nchords | Czz | % | % |", "3:11"),
    "a note under words": ("title T\nmeter 4/4\ntune | X4:4 |\nwords | la |", "3:8"),
    "too long a bar under words": (
        "title T\nmeter 4/4\ntune | B4:4 B4:4 |\nwords | la la |",
        "3:8",
    ),
    "a bar line": ("title T\nmeter 4/4\nchords |: C :|: D :|\ntune | r:4 | r:4 |", "3:13"),
}


@pytest.mark.parametrize(("rows", "place", "named"), IN_ROWS)
def test_problems_in_rows(problems_in_rows: Found, rows: str, place: str, named: list[str]) -> None:
    (problem,) = problems_in_rows(rows)
    assert problem.startswith(f"x.lead:{place} ")
    assert all(text in problem.removeprefix(f"x.lead:{place} ") for text in named)
    assert "\n" not in problem


@pytest.mark.parametrize(("text", "place", "named"), IN_TEXTS)
def test_problems_in_texts(problems: Found, text: str, place: str, named: list[str]) -> None:
    (problem,) = problems(text)
    assert problem.startswith(f"x.lead:{place} ")
    assert all(text in problem for text in named)


@pytest.mark.parametrize("mistake", ONCE)
def test_one_mistake_is_one_problem(problems: Found, mistake: str) -> None:
    text, place = ONCE[mistake]
    found = problems(text)
    assert len(found) == 1, found
    assert found[0].startswith(f"x.lead:{place}")


@pytest.mark.parametrize(
    ("meter", "cell", "fits"),
    [
        ("4/4", "C D E", "1, 2, 4"),
        ("3/4", "C D", "1, 3"),
        ("5/4", "C D", "1, 5"),
        ("2/2", "C D E", "1, 2, 4"),
        ("6/8", "C D E F", "1, 2, 3, 6"),
        ("9/8", "C D", "1, 3, 9"),
        ("12/8", "C D E F G", "1, 2, 3, 4, 6, 12"),
    ],
)
def test_the_numbers_of_chords_that_fit_are_named(
    problems_in_rows: Found, meter: str, cell: str, fits: str
) -> None:
    (problem,) = problems_in_rows(f"chords | {cell} |", meter)
    assert f"write {fits} " in problem


def test_the_length_of_a_pickup_decides_how_many_chords_fit(problems_in_rows: Found) -> None:
    rows = "road | pickup | |\nchords | C D | C |\ntune | r:3 | |"
    (problem,) = problems_in_rows(rows)
    assert problem.startswith("x.lead:5:10 2 chords")
    assert "write 1, 3 " in problem


def test_a_beat_before_a_pickup_lies_outside_it(problems_in_rows: Found) -> None:
    (problem,) = problems_in_rows("road | pickup | |\nchords | C@3 | C |\ntune | r:1 | |")
    assert problem.startswith("x.lead:5:10 beat 3 ")


def test_columns_count_characters(problems: Found) -> None:
    text = "title T\nmeter 4/4\ntune  | r:4 | r:4 |\nwords | | été süß |\nchords | 夜 | Czz |"
    assert [problem.split()[0] for problem in problems(text)] == [
        "x.lead:4:11",
        "x.lead:5:10",
        "x.lead:5:15",
    ]


def test_columns_count_a_tab_as_one_character(problems: Found) -> None:
    (problem,) = problems("title T\nmeter 4/4\nchords\t|\tC\t|\tCzz\t|")
    assert problem.startswith("x.lead:3:15 ")


def test_carriage_returns_do_not_move_places(problems: Found) -> None:
    text = "title T\nmeter 4/4\n\nchords | C | Czz |\nfoo\n"
    assert problems(text.replace("\n", "\r\n")) == problems(text)


def test_all_problems_at_once_in_the_order_of_the_lines(problems: Found) -> None:
    text = """\
credit one
credit two
key    Q
tempo  quick
meter  3/4

road   | segn |      | 3x     |
chords | D E  | C7zz | %      |
tune   | B4:2 | X4:3 | B4:3   |
words  | la   | la   | la la  |
wrods  | la   |
voice  D5 A3
chords | C | D
"""
    found = problems(text)
    assert [problem.split()[0] for problem in found] == [
        "x.lead:1:1",
        "x.lead:2:1",
        "x.lead:3:8",
        "x.lead:4:8",
        "x.lead:7:10",
        "x.lead:7:24",
        "x.lead:8:10",
        "x.lead:8:19",
        "x.lead:9:10",
        "x.lead:9:17",
        "x.lead:10:27",
        "x.lead:11:1",
        "x.lead:12:8",
        "x.lead:13:8",
    ]


def test_rows_that_do_not_match_are_still_read(problems_in_rows: Found) -> None:
    rows = "road | segno |\nchords | C | Czz |\ntune | X4:4 | B4:4 | B4:4 |"
    assert [problem.split()[0] for problem in problems_in_rows(rows)] == [
        "x.lead:4:1",
        "x.lead:5:15",
        "x.lead:6:1",
        "x.lead:6:8",
    ]


def test_a_problem_has_its_place_as_numbers() -> None:
    with pytest.raises(ChartError) as caught:
        loads("title T\nmeter 4/4\nchords | C | Czz |", "songs/x.lead")
    (problem,) = caught.value.problems
    assert (problem.file, problem.line, problem.column) == ("songs/x.lead", 3, 15)
    assert problem.place == "songs/x.lead:3:15"
    assert str(caught.value) == str(problem)
