"""The page for a lesson: sound HTML that stands by itself and says what it should."""

import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from defusedxml import ElementTree
from hypothesis import given
from hypothesis import strategies as st
from tests.trouble.logs import Log, on, straight

from chartwalk.trouble import figures
from chartwalk.trouble.glance import MONTH, WEEK, glance_back
from chartwalk.trouble.report import Lesson, lesson, page

VOID = {"meta"}
BLOCKS_IN_P = {"p", "ul", "section", "article", "figure", "h1", "h2", "h3"}


class Sound(HTMLParser):
    """Collect the elements of a page; every one must be closed in its turn."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len({name for name, _ in attrs}) == len(attrs)
        assert not ("p" in self.open and tag in BLOCKS_IN_P)
        self.seen.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert "svg" in self.open, "only SVG closes an element in its own tag"
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text += data


def practised() -> Lesson:
    song = straight("Lanterns")
    log = Log().mark(3, -10, chord="D7b9", came_from="Am7").mark(6, 4)
    log.played(3, 3, -9, tempo=60).played(3, 3, 2, tempo=96).played(0, 7, 3, seconds=600)
    spots = log.spots(song, 6)
    glances = [glance_back(on(6), days, log.passes, log.marks, spots) for days in (WEEK, MONTH)]
    return lesson(on(6), {"a": song}, glances, spots)


TOLD = practised()


def nothing() -> Lesson:
    return lesson(on(6), {}, [glance_back(on(6), WEEK, (), (), ())], ())


def test_what_it_says() -> None:
    text = " ".join(Sound(page(TOLD)).text.split())
    assert "Practice report, 11 May 2031" in text
    assert "5 May to 11 May" in text
    assert "11 minutes on 2 days of 7, 1 trouble mark." in text
    assert "12 minutes on 3 days of 30, 2 trouble marks." in text
    assert "Songs: Lanterns." in text
    assert "Lanterns, bar 4: healed" in text
    assert "Lanterns, bar 4: from 60 to 96, goal 96" in text
    assert "bar 4, Am7 to D7♭9, 1 mark, best clean 96 of goal 96, healed; due in" in text
    assert "bar 7, 1 mark, best clean 96 of goal 96; due since yesterday" in text


@pytest.mark.parametrize("told", [TOLD, nothing()])
def test_cautions_are_always_there(told: Lesson) -> None:
    text = Sound(page(told)).text
    for word in ("hurts", "Rest five minutes", "85 dBA", "teacher", "doctor"):
        assert word in text


def test_without_practice_it_is_a_page_all_the_same() -> None:
    text = Sound(page(nothing())).text
    assert "0 minutes on 0 days of 7, 0 trouble marks." in text
    assert "None." in text


@pytest.mark.parametrize("told", [TOLD, nothing()])
def test_it_stands_by_itself(told: Lesson) -> None:
    written = page(told)
    sound = Sound(written)
    tags = {tag for tag, _ in sound.seen}
    assert not tags & {"script", "link", "img", "iframe", "a", "object", "embed", "form"}
    names = {name for _, attributes in sound.seen for name in attributes}
    assert not {name for name in names if name.startswith("on")} | names & {"href", "src", "style"}
    assert "url(" not in written
    assert "@import" not in written
    addresses = re.findall(r"\w+://[^\s\"<]+", written)
    assert set(addresses) <= {"http://www.w3.org/2000/svg"}  # a name, never fetched


def test_its_head_is_whole() -> None:
    written = page(TOLD)
    assert written.startswith('<!DOCTYPE html>\n<html lang="en">')
    sound = Sound(written)
    assert {"charset": "utf-8"} in [attributes for tag, attributes in sound.seen if tag == "meta"]
    assert [tag for tag, _ in sound.seen].count("title") == 1
    assert [tag for tag, _ in sound.seen].count("h1") == 1


def drawings(written: str) -> Iterator[str]:
    return iter(re.findall(r"<svg.*?</svg>", written, flags=re.DOTALL))


@pytest.mark.parametrize("told", [TOLD, nothing()])
def test_the_drawings_are_sound_and_say_what_they_show(told: Lesson) -> None:
    found = [ElementTree.fromstring(drawing) for drawing in drawings(page(told))]
    assert len(found) == len(told.periods) + len(told.spots)
    for root in found:
        assert root.get("role") == "img"
        assert root.get("aria-label")
        _, _, wide, high = map(float, (root.get("viewBox") or "").split())
        for element in root:
            for name in ("x", "x1", "x2", "cx"):
                assert 0 <= float(element.get(name, 0)) <= wide
            for name in ("y", "y1", "y2", "cy"):
                assert 0 <= float(element.get(name, 0)) <= high


def test_a_drawing_in_words() -> None:
    roots = [ElementTree.fromstring(drawing) for drawing in drawings(page(TOLD))]
    labels = [root.get("aria-label") for root in roots]
    assert labels[0] == "Minutes by day. 7 May: 1, 8 May: 10."
    assert labels[-1] == (
        "Goal 96. 25 Apr: 1 mark, 26 Apr: clean at 60, 7 May: clean at 96, 8 May: clean at 96."
    )


def test_the_highest_column_is_the_longest_day() -> None:
    root = ElementTree.fromstring(next(drawings(page(TOLD))))
    columns = [element for element in root if element.tag.endswith("rect")]
    heights = [float(column.get("height", 0)) for column in columns]
    assert len(heights) == 7
    assert [round(height / max(heights), 2) for height in heights] == [0, 0, 0.1, 1, 0, 0, 0]


hostile = st.text(max_size=20) | st.sampled_from(
    [
        "</style><script>alert(1)</script>",
        "<b>",
        "&amp;",
        "\"'><img src=x>",
        "\u202eevil",
        "\x00\x1b",
    ]
)


def renamed(title: str) -> Lesson:
    return replace(
        TOLD,
        periods=tuple(replace(each, titles=(title,), gains=(title,)) for each in TOLD.periods),
        spots=tuple(replace(spot, title=title, words=title, due=title) for spot in TOLD.spots),
    )


@given(hostile)
def test_whatever_a_title_holds_is_text(title: str) -> None:
    told, sound = renamed(title), Sound(page(renamed(title)))
    assert [tag for tag, _ in sound.seen] == [tag for tag, _ in Sound(page(renamed("T"))).seen]
    shown = re.sub("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]+", " ", title)
    assert shown in sound.text
    page(told).encode("utf-8")


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    channels = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_of_contrast() -> None:
    # WCAG 2.2: black on white is 21 to 1; #767676 is the lightest grey that reaches 4.5 on white.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("ink", [figures.INK, figures.MUTED])
def test_text_is_readable(ink: str) -> None:
    assert contrast(ink, figures.PAPER) >= 4.5


@pytest.mark.parametrize("ink", [figures.PRACTICE, figures.TROUBLE, figures.MUTED])
def test_drawings_are_readable(ink: str) -> None:
    assert contrast(ink, figures.PAPER) >= 3


def test_no_other_colour_is_used() -> None:
    used = set(re.findall(r"#[0-9a-fA-F]{3,8}\b", page(TOLD)))
    assert used == {
        figures.INK,
        figures.MUTED,
        figures.PAPER,
        figures.PRACTICE,
        figures.TROUBLE,
    }
