"""From a practice session to what the Stand draws: which words, which names, which places."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from tests.tui.plain_rows import plain_rows

from chartwalk.files import open_song
from chartwalk.mode import Signal
from chartwalk.practice import Session
from chartwalk.trouble import Glance
from chartwalk_tui import views
from chartwalk_tui.views.glance import days_line
from chartwalk_tui.widgets.chord_next import ChordNext
from chartwalk_tui.widgets.chord_now import ChordLetters, PaletteTone
from chartwalk_tui.widgets.text_line import TextLine

Practise = Callable[..., Session]

HARD_NAMES = (
    "title T\nmeter 4/4\nkey C major\n\nchords | C#7 | Bbdim7/E | G@1 A#7@3.5 | N.C. | C |\n"
)
CHANGING = """title T
meter 4/4
key C major
tempo 80

road | | fine |
chords | C | F |

key G major
meter 3/4
tempo 96
feel swing

road | | dc al fine |
chords | G | D7 |
"""
JUMPS = """title T
meter 4/4

road   |   | segno | to coda | 1. |  | 2. | ds al coda | coda |
chords | C |: F    | G       | C  | D :| E | A          | C    |
"""


@pytest.fixture
def practise(lead: Callable[..., Path]) -> Practise:
    """Open a text as a session at a step (from 0) and a chord of it."""

    def session(text: str, step: int = 0, change: int = 0) -> Session:
        return Session(open_song(lead(text))).at(step, change)

    return session


# The chords


def test_tones_bear_the_true_name_and_the_key_as_it_is_known(practise: Practise) -> None:
    assert views.chord_now(practise(HARD_NAMES)).tones == (
        PaletteTone("C♯", "root", "now"),
        PaletteTone("E♯=F", "3rd", "strong"),
        PaletteTone("G♯", "5th", "strong"),
        PaletteTone("B", "♭7", "strong"),
    )


def test_the_bass_says_which_tone_it_is(practise: Practise) -> None:
    assert views.chord_now(practise(HARD_NAMES, 1)).bass == "over E, the ♭5"
    other = practise("title T\nmeter 4/4\n\nchords | C/F | C/E |\n")
    assert views.chord_now(other).bass == "over F, not in the chord"
    assert views.chord_now(other.at(1)).bass == "over E, the 3rd"


def test_the_next_chord_spells_truly_and_the_way_there_names_keys(practise: Practise) -> None:
    assert views.chord_next(practise(HARD_NAMES)) == ChordNext(
        ChordLetters("B♭", "dim7", "/E"), "next bar",
        names="B♭ D♭ F♭=E A♭♭=G", stays="C♯", moves="B→B♭ F→E G♯→G", bass="C♯→E",
    )  # fmt: skip


def test_a_note_that_joins_is_named_as_the_player_knows_it(practise: Practise) -> None:
    coming = views.chord_next(practise(HARD_NAMES, 2))
    assert coming == ChordNext(
        ChordLetters("A♯", "7"), "on the and of 3",
        names="A♯ C♯♯=D E♯=F G♯", stays="D", moves="G→G♯ B→A♯ +F", bass="G→A♯",
    )  # fmt: skip


def test_a_note_that_leaves_bears_a_minus(practise: Practise) -> None:
    session = practise("title T\nmeter 4/4\n\nchords | Am7 | C |\n")
    assert views.chord_next(session).moves == "−A"
    assert views.chord_next(session).stays == "C E G"


@pytest.mark.parametrize(
    ("chords", "when"),
    [
        ("| C@1 F@3 |", "on beat 3"),
        ("| C@1 F@3.5 |", "on the and of 3"),
        ("| C@1 F@1.5 |", "on the and of 1"),
        ("| C | F |", "next bar"),
        ("| C |   | F |", "in 2 bars"),
        ("| C | F@4.5 |", "next bar, the and of 4"),
        ("| C |   | F@2 |", "in 2 bars, beat 2"),
    ],
)
def test_when_the_next_chord_comes(practise: Practise, chords: str, when: str) -> None:
    coming = views.chord_next(practise(f"title T\nmeter 4/4\n\nchords {chords}\n"))
    assert (coming.letters.root, coming.when) == ("F", when)


def test_after_silence_there_is_no_way_there(practise: Practise) -> None:
    silent = views.chord_next(practise(HARD_NAMES, 2, 1))
    assert silent == ChordNext(ChordLetters("N.C."), "next bar")
    after = views.chord_next(practise(HARD_NAMES, 3))
    assert (after.names, after.stays, after.moves, after.bass) == ("C E G", "", "", "")


def test_the_end_of_the_changes_and_a_sheet_without_chords(practise: Practise) -> None:
    last = views.chord_next(practise(HARD_NAMES).end())
    assert last == ChordNext(ChordLetters(words="no more changes"))
    bare = practise("title T\nmeter 4/4\n\ntune | C4:4 | D4:4 |\n")
    for step in (0, 1):
        assert views.chord_next(bare.at(step)) == ChordNext(
            ChordLetters(words="this sheet has no chords")
        )
    assert views.chord_now(bare).letters == ChordLetters(words="no chord yet")


def test_the_next_chord_tells_the_jump_and_the_news(practise: Practise) -> None:
    session = practise(CHANGING)
    assert views.chord_next(session).why == ""
    assert views.chord_next(session.at(1)).why == "3/4, G major, tempo 96, swing"
    assert (
        views.chord_next(session.at(3)).why
        == "back to the beginning · 4/4, C major, tempo 80, straight"
    )


# The road


def test_the_road_says_jumps_in_a_word_or_two(practise: Practise) -> None:
    bars = views.road_view(practise(JUMPS), {}, 99).bars
    assert [(bar.number, bar.why) for bar in bars if bar.why] == [
        ("2", "2nd time"), ("6", "2nd ending"), ("2", "segno"), ("8", "to coda"),
    ]  # fmt: skip
    again = views.road_view(practise(CHANGING), {}, 99).bars
    assert [bar.why for bar in again] == ["", "", "", "", "beginning", ""]


def test_the_road_tells_what_changes(practise: Practise) -> None:
    bars = views.road_view(practise(CHANGING), {}, 99).bars
    assert [bar.news for bar in bars] == [
        "", "", "3/4, G major, tempo 96, swing", "", "4/4, C major, tempo 80, straight", "",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("line", "news"),
    [("meter 2/4", "2/4"), ("key G major", "G major"), ("tempo 90", "tempo 90"),
     ("feel swing", "swing"), ("meter 4/4", ""), ("tempo 80", "")],
)  # fmt: skip
def test_news_are_what_is_new(practise: Practise, line: str, news: str) -> None:
    text = f"title T\nmeter 4/4\nkey C major\ntempo 80\n\nchords | C |\n\n{line}\n\nchords | F |\n"
    session = practise(text)
    assert [bar.news for bar in views.road_view(session, {}, 9).bars] == ["", news]
    assert views.chord_next(session).why == news


def test_a_meter_that_carries_its_tempo_on_is_no_new_tempo(practise: Practise) -> None:
    text = "title T\nmeter 6/8\ntempo 60\n\nchords | C |\n\nmeter 3/4\n\nchords | F |\n"
    assert [bar.news for bar in views.road_view(practise(text), {}, 9).bars] == ["", "3/4"]


# The lines


def texts(spans: tuple[tuple[str, str], ...]) -> str:
    return "".join(text for text, _ in spans).strip()


def test_the_song_line_says_what_the_tempo_counts_and_its_goal(practise: Practise) -> None:
    def line(meter: str, tempo: int) -> str:
        session = practise(f"title T\nmeter {meter}\ntempo {tempo}\n\nchords | C |\n")
        slower = texts(views.song_line(session.in_tempo(up=False)).right).rpartition("tempo ")[2]
        return (
            "tempo " + texts(views.song_line(session).right).partition("tempo ")[2] + " > " + slower
        )

    assert line("4/4", 84) == "tempo 84 · written > 80 (goal 84) · written"
    assert line("6/8", 58) == "tempo 58 ♩. · written > 56 ♩. (goal 58) · written"
    assert line("2/2", 60).startswith("tempo 60 halves · ")


def test_where_we_are_in_order(practise: Practise) -> None:
    text = "title T\nmeter 4/4\n\nsection Verse\nroad | pickup | |\nchords | G |: C :|\n"
    session = practise(text)
    assert texts(views.where_line(session).left) == "Verse · pickup · step 1 of 3"
    assert texts(views.where_line(session.at(1)).left) == "Verse · bar 1 · step 2 of 3"
    assert texts(views.where_line(session.at(2)).left) == "Verse · 2nd time · bar 1 · step 3 of 3"
    counted = session.at(1).signal(Signal.COUNT)
    assert texts(views.where_line(counted).left) == "count-in · bar 1 · step 2 of 3"


def test_trouble_marks_stand_in_their_own_role(practise: Practise) -> None:
    left = views.where_line(practise(JUMPS), 2).left
    assert texts(left) == "bar 1 ×2 · step 1 of 12"
    assert [text for text, role in left if role == "mark"] == [" ×2"]
    assert not any("×" in text for text, role in left if role != "mark")


# The bar


def test_a_pickup_too_short_for_a_beat_numbers_its_smaller_notes(practise: Practise) -> None:
    text = "title T\nmeter 6/8\n\nroad | pickup | |\nchords | | C |\ntune | {} | C4:3 |\n"
    short = views.bar_view(practise(text.format("E4:.5")))
    assert [(beat.at, beat.text) for beat in short.beats] == [(Fraction(0), "6")]
    two = views.bar_view(practise(text.format("E4:.5 F4:.5")))
    assert [(beat.at, beat.text) for beat in two.beats] == [
        (Fraction(0), "5"),
        (Fraction(1, 2), "6"),
    ]
    felt = views.bar_view(practise(text.format("D4:.5 E4:.5 F4:.5")))
    assert [(beat.at, beat.text) for beat in felt.beats] == [(Fraction(0), "2")]


def test_the_bar_shows_rests_and_a_short_form_of_every_note(practise: Practise) -> None:
    text = "title T\nmeter 4/4\n\nchords | C | F |\ntune | C4:1 r:1 F#4:2~ | F#4:4 |\n"
    view = views.bar_view(practise(text))
    assert [(note.text, note.short) for note in view.notes] == [
        ("C4", "C"), ("rest", "·"), ("F♯4", "F♯"),
    ]  # fmt: skip
    assert view.ahead is not None
    assert [(note.text, note.short) for note in view.ahead.notes] == [("(F♯4)", "F♯")]


def test_the_next_bar_is_the_next_one_played(practise: Practise) -> None:
    session = practise(JUMPS)
    roots = []
    for step in session.song.steps:
        ahead = views.bar_view(session.at(step.index)).ahead
        roots.append(ahead.chords[0].text if ahead else "")
    assert roots == ["F", "G", "C", "D", "F", "G", "E", "A", "F", "G", "C", ""]
    view = views.bar_view(session)
    assert view.ahead is not None
    assert view.ahead.beat is None, "no beat of the next bar is lit"
    assert view.ahead.ahead is None


def test_the_count_in_shows_beats_alone_and_the_bar_to_come(practise: Practise) -> None:
    text = "title T\nmeter 6/8\n\nchords | Am | F |\ntune | A4:3 | C5:3 |\nwords | oh | no |\n"
    view = views.count_in_view(practise(text), Fraction(3, 2), Fraction(3))
    assert [beat.text for beat in view.beats] == ["1", "2"]
    assert view.pulses == tuple(Fraction(n, 6) for n in range(6))
    assert view.beat == 1
    assert (view.chords, view.notes, view.words) == ((), (), ())
    assert view.ahead is not None
    assert [note.text for note in view.ahead.notes] == ["A4"]
    assert [word.text for word in view.ahead.words] == ["oh"]
    assert view.ahead.beat is None


def test_a_long_title_gives_way_to_the_minutes_left_and_to_the_key(practise: Practise) -> None:
    session = practise("title Round the Harbour Wall and Back\nmeter 4/4\n\nchords | C | F |\n")
    line = views.song_line(session, left=7)
    (row,) = plain_rows(TextLine().draw(line, 60, 1))
    assert row.startswith(" 7 min left  Round the"), "the minutes are not cut off"
    assert "… C major" in row, "and the title does not run into the key"


@pytest.mark.parametrize(
    ("minutes", "told"),
    [
        (0.3, "from 25 Nov to today"),
        (2.0, "from 25 Nov to today; most on 26 Nov: 2 minutes"),
    ],
)
def test_a_day_with_less_than_a_minute_is_not_named(minutes: float, told: str) -> None:
    first, last = date(2026, 11, 25), date(2026, 11, 26)
    glance = Glance(first, last, ((first, 0.0), (last, minutes)), (), 0, (), ())
    assert days_line(glance) == told


def test_numbers_of_bars_that_are_not_there(practise: Practise) -> None:
    plain = practise("title T\nmeter 4/4\n\nchords | C | F |\n")
    assert views.no_bar_words(plain, "9") == "No bar 9: the bars go from 1 to 2."
    begun = practise("title T\nmeter 4/4\n\nroad | pickup | |\nchords | C | F |\ntune | C4:1 | |\n")
    assert views.no_bar_words(begun, "9").endswith("from 1 to 1, the pickup is 0.")
