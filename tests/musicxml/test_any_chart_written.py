"""Any chart is written and read back as the same chart, in files that the schema allows."""

import io
import zipfile
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from tests.charts_at_random import charts
from tests.schema_facts import out_of_order

from chartwalk.chart import Bar, Chart, Note, Syllable
from chartwalk.leadfile import read
from chartwalk.musicxml import read_bytes
from chartwalk.musicxml.out import packed, write
from chartwalk.problems import ChartError

SONGS = sorted((Path(__file__).parents[2] / "songs").glob("*.lead"))
MARK = b"<software>chartwalk</software>"

quick = settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])


@quick
@given(charts(octaves=(0, 9)))
def test_a_chart_is_written_and_read_again(chart: Chart) -> None:
    written = write(chart)
    # A warning where, and only where, a quarter has more units than all programs take: 16,383
    # (MusicXML 4.0, divisions).
    divisions = [int(each.text or 0) for each in fromstring(written.data).iter("divisions")]
    assert bool(written.warnings) == (max(divisions) > 16_383)
    assert all("lengths so fine" in warning.message for warning in written.warnings)
    reading = read_bytes(written.data, "x.musicxml")
    assert reading.chart == chart
    assert reading.warnings == ()
    assert write(reading.chart) == written
    assert out_of_order(fromstring(written.data)) == []


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(charts(octaves=(0, 9)))
def test_a_compressed_chart_is_the_same(chart: Chart) -> None:
    archive = packed(write(chart))
    assert read_bytes(archive.data, "x.mxl").chart == chart
    assert packed(write(chart)) == archive


def test_the_archive_is_laid_out_as_the_standard_asks() -> None:
    """MusicXML 4.0 `container`: first a file `mimetype`, not compressed; the score is named."""
    with zipfile.ZipFile(io.BytesIO(packed(write(read(SONGS[0]).chart)).data)) as archive:
        first, *others = archive.infolist()
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert archive.read(first) == b"application/vnd.recordare.musicxml"
        assert [info.filename for info in others] == ["META-INF/container.xml", "score.musicxml"]
        rootfile = fromstring(archive.read(others[0])).find("rootfiles/rootfile")
        assert rootfile is not None
        assert rootfile.get("full-path") == "score.musicxml"


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_the_demo_songs(path: Path) -> None:
    chart = read(path).chart
    written = write(chart)
    assert (written.warnings, read_bytes(written.data, "x").chart) == ((), chart)
    assert out_of_order(fromstring(written.data)) == []


def as_any_file_says(chart: Chart) -> Chart:
    """A chart without what only a file of our own tells apart.

    Tied notes of one pitch are one note; rests beside each other one rest; a bar of rests has no
    tune; and holds at the end of a verse's bar are not written.
    """

    def bar(found: Bar) -> Bar:
        tune: list[Note] = []
        tied = False
        for note in found.tune:
            if tune and tune[-1].pitch == note.pitch and (tied or note.pitch is None):
                tune[-1] = replace(tune[-1], length=tune[-1].length + note.length, tied=note.tied)
            else:
                tune.append(note)
            tied = note.tied
        sounds = any(note.pitch for note in tune)
        verses = [_without_holds(verse) for verse in found.words]
        while verses and not verses[-1]:
            verses.pop()
        kept = tuple(tune) if sounds or found.pickup else ()
        return replace(found, tune=kept, words=tuple(verses))

    sections = tuple(
        replace(section, bars=tuple(map(bar, section.bars))) for section in chart.sections
    )
    return replace(chart, sections=sections)


def _without_holds(verse: tuple[Syllable, ...]) -> tuple[Syllable, ...]:
    groups = [(held, list(group)) for held, group in groupby(verse, lambda each: not each.text)]
    if groups and groups[-1][0]:
        groups.pop()
    return tuple(each for _, group in groups for each in group)


@pytest.mark.parametrize("path", SONGS, ids=lambda path: path.stem)
def test_the_demo_songs_as_another_program_saves_them(path: Path) -> None:
    chart = read(path).chart
    reading = read_bytes(write(chart).data.replace(MARK, b"<software>another</software>"), "x")
    assert reading.warnings == ()
    assert as_any_file_says(reading.chart) == as_any_file_says(chart)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(charts(octaves=(0, 9)))
def test_any_chart_as_another_program_saves_it_is_read(chart: Chart) -> None:
    data = write(chart).data.replace(MARK, b"")
    reading = read_bytes(data, "x")
    for found, bar in zip(reading.chart.bars, chart.bars, strict=True):
        assert (found.number, found.key, found.feel) == (bar.number, bar.key, bar.feel)
        assert [(change.at, change.symbol.palette) for change in found.changes] == [
            (change.at, change.symbol.palette) for change in bar.changes
        ]
        assert found.fermatas == bar.fermatas


PIECES = [
    b"", b"<", b"0", b"-1", b"9" * 70, b"\xff", b"<note/>", b"<chord/>", b"<harmony/>", b"stop",
    b"<rest/>", b"chartwalk-continued", b"<backup><duration>9</duration></backup>", b"1e9", b"x",
    b"<forward><duration>1</duration></forward>", b"<extend/>", b"slash", b"none", b"yes", b"no",
    b"<divisions>0</divisions>", b"<measure/>", b"12,99", b"<direction/>", b"D.C.", b"1/0", b"nan",
    b"<notations><fermata/></notations>", b"2+3",
]  # fmt: skip
edits = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 40), st.sampled_from(PIECES)), min_size=1, max_size=4
)


@settings(max_examples=150)
@given(song=st.sampled_from(SONGS), edits=edits)
@example(song=SONGS[0], edits=[(0.5, 0, b"<measure/>")])
def test_a_spoilt_file_of_our_own_is_read_or_refused(
    song: Path, edits: list[tuple[float, int, bytes]]
) -> None:
    data = write(read(song).chart).data
    for where, length, piece in edits:
        place = int(where * len(data))
        data = data[:place] + piece + data[place + length :]
    try:
        chart = read_bytes(data, "x.musicxml").chart
    except ChartError as error:
        assert error.problems  # noqa: PT017
    else:
        assert read_bytes(write(chart).data, "x").chart == chart
