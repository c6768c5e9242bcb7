"""A spot in words, as the player reads it."""

from tests.trouble.logs import Log, repeated, straight, written

from chartwalk.log.records import Kind
from chartwalk.song import Song
from chartwalk.trouble.spots import Spot
from chartwalk.trouble.words import place_words, spot_words

STRAIGHT, REPEATED = straight(), repeated()


def words(song: Song, log: Log, day: float = 0) -> list[str]:
    return [spot_words(song, spot) for spot in log.spots(song, day)]


def places(song: Song, log: Log) -> list[str]:
    def placed(spot: Spot) -> str:
        return place_words(song, spot)

    return [placed(spot) for spot in log.spots(song)]


def test_all_there_is_to_say() -> None:
    log = Log()
    for _ in range(4):
        log.mark(3, chord="D7b9", came_from="Am7", pass_=2)
    log.mark(4, chord="", pass_=2, kind=Kind.HANDS)
    log.played(0, 4, 1, steps=7, tempo=72)
    assert words(REPEATED, log, 1) == [
        "bars 4-5, Am7 to D7♭9, 5 marks (hands), best clean 72 of goal 96"
    ]


def test_as_little_as_there_may_be() -> None:
    assert words(STRAIGHT, Log().mark(2)) == ["bar 3, 1 mark, not clean yet, goal 96"]


def test_a_chord_without_one_before_and_one_that_can_not_be_read() -> None:
    assert words(STRAIGHT, Log().mark(0, chord="Bb7"))[0].startswith("bar 1, B♭7, 1 mark")
    odd = Log().mark(0, chord="H??", came_from="C#m")
    assert words(STRAIGHT, odd)[0].startswith("bar 1, C♯m to H??, 1 mark")


def test_a_healed_spot_says_so() -> None:
    log = Log().mark(2).played(2, 2, 1).played(2, 2, 2)
    assert words(STRAIGHT, log, 2) == ["bar 3, 1 mark, best clean 96 of goal 96, healed"]


def test_jumps_within_a_spot() -> None:
    again = Log().mark(2).mark(0, pass_=2)
    assert "bars 3 and 1, jumps: repeat, 2nd time, 2 marks" in words(REPEATED, again)[0]
    ending = Log().mark(1, pass_=2).mark(3, pass_=2)
    assert "bars 2 and 4, jumps: 2nd ending, 2 marks" in words(REPEATED, ending)[0]


def test_a_jump_to_another_section() -> None:
    song = written(
        "section Verse\nroad | | to coda | dc al coda |\nchords | C | F | G |\n\n"
        "section Tag\nroad | coda |\nchords | D |"
    )
    log = Log().mark(1, pass_=2).mark(3)
    assert "bars 2 and 4, jumps to the Tag, 2 marks" in words(song, log)[0]


def test_bars_go_by_their_printed_numbers() -> None:
    song = written("road | pickup | | | |\nchords | G7 | C | F | G |\ntune | G4:1 | | | |")
    assert places(song, Log().mark(0)) == ["pickup"]
    assert places(song, Log().mark(0).mark(1)) == ["pickup and 1"]
    assert places(song, Log().mark(1).mark(2).mark(3)) == ["bars 1-3"]
    assert places(song, Log().mark(2)) == ["bar 2"]
