"""What can't be read is refused with ChartError, and nothing unpacks beyond its bounds."""

import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from chartwalk.files import open_song
from chartwalk.musicxml import archive, document, read, read_bytes
from chartwalk.problems import ChartError, Problem

Sheet = Callable[..., bytes]

CONTAINER = (
    '<container><rootfiles><rootfile full-path="{}" '
    'media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>'
)
BOMB = b"""<!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;">]><score-partwise><part id="P"><measure number="1">
<attributes><divisions>&c;</divisions></attributes></measure></part></score-partwise>"""
OUTSIDE = b"""<!DOCTYPE score-partwise [<!ENTITY a SYSTEM "file:///etc/hostname">]>
<score-partwise><movement-title>&a;</movement-title></score-partwise>"""


def packed(files: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return a zip archive of these files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", method) as file:
        for name, content in files.items():
            file.writestr(zipfile.ZipInfo(name), content, method)  # always of the same date
    return stream.getvalue()


def refused(data: bytes) -> Problem:
    """Return the one problem that a file is refused with."""
    with pytest.raises(ChartError) as error:
        read_bytes(data, "x.mxl")
    (problem,) = error.value.problems
    assert problem.file == "x.mxl"
    return problem


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "the file is empty"),
        (b" \n", "the file is empty"),
        (b"<opus/>", "a list of several scores"),
        (b"<html/>", "<html> where score-partwise belongs"),
        (b"<score-partwise/>", "no part"),
        (b"<score-timewise/>", "no part"),
        (b"<score-partwise><part id='P'/></score-partwise>", "no bars"),
        (BOMB, "entities"),
        (OUTSIDE, "entities"),
        (b'<!DOCTYPE a SYSTEM "a.dtd"><score-partwise>&nbsp;</score-partwise>', "undefined entity"),
        (b"PK\x03\x04 and no more", "damaged"),
        (packed({}), "holds no score"),
        (packed({"readme.txt": b"hello"}), "holds no score"),
        (packed({"META-INF/container.xml": b"<container/>"}), "holds no score"),
        (packed({"a.xml": packed({"b.xml": b"<score-partwise/>"})}), "another archive"),
        (b'<?xml version="1.0" encoding="no-such"?><a/>', ""),
        (b'<?xml version="1.0" encoding="shift-jis"?><a/>', ""),
    ],
)
def test_refusals(data: bytes, message: str) -> None:
    assert message in refused(data).message


def test_broken_xml_gives_line_and_column() -> None:
    problem = refused(b"<score-partwise>\n  <part></measure>\n</score-partwise>")
    assert (problem.line, problem.column) == (2, 11)
    assert "not well-formed" in problem.message


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ChartError, match=r"none\.mxl can't be opened: no such file"):
        open_song(tmp_path / "none.mxl")
    folder = tmp_path / "folder.mxl"
    folder.mkdir()
    with pytest.raises(ChartError, match="can't be opened: is a directory"):
        open_song(folder)


def test_the_container_names_the_score(sheet: Sheet) -> None:
    files = {
        "META-INF/container.xml": CONTAINER.format("score/song.xml").encode(),
        "a.xml": sheet("C5:4 / C5:4"),
        "score/song.xml": sheet("C5:4"),
    }
    assert len(read_bytes(packed(files), "x.mxl").chart.bars) == 1
    assert len(read_bytes(packed(files, zipfile.ZIP_STORED), "x.mxl").chart.bars) == 1


@pytest.mark.parametrize(
    "container",
    [b"", b"<container", CONTAINER.format("gone.xml").encode(), b"<container/>", BOMB,
     CONTAINER.format("song.xml").replace('"', "'").replace("song", "the singer's song").encode()],
    ids=["empty", "broken", "wrong", "without", "bomb", "apostrophe"],
)  # fmt: skip
def test_a_bad_container_is_of_no_consequence(sheet: Sheet, container: bytes) -> None:
    files = {
        "META-INF/container.xml": container,
        "__MACOSX/song.xml": b"rubbish",
        "cover.png": b"rubbish",
        "the singer's song.musicxml": sheet("C5:4"),
    }
    assert len(read_bytes(packed(files), "x.mxl").chart.bars) == 1


# What a container may call a score that the archive has as `score/my song.xml`.
@pytest.mark.parametrize(
    "container",
    [CONTAINER.format("score/my song.xml"), CONTAINER.format("score/my%20song.xml"),
     CONTAINER.format("./score/my song.xml"), CONTAINER.format("/score/my song.xml"),
     CONTAINER.format("score\\my song.xml"),
     CONTAINER.format("score/my song.xml").replace("<container>", "<container xmlns='urn:a'>"),
     CONTAINER.format("score/my song.xml").replace("+xml", ""),
     CONTAINER.format("score/my song.xml").replace("media-type", "kind"),
     CONTAINER.format("gone.xml").replace("<rootfiles>",
         "<rootfiles><rootfile full-path='cover.png' media-type='image/png'/>").replace(
         "</rootfiles>", "<rootfile full-path='score/my song.xml'/></rootfiles>"),
     CONTAINER.format("score/my song.xml").replace("<rootfiles>", "<rootfiles name='it's'>"),
     CONTAINER.format("score/my song.xml").replace("</container>", "")],
    ids=["plain", "quoted", "dot", "absolute", "backslash", "namespace", "old type", "no type",
         "second of two", "not well-formed", "not closed"],
)  # fmt: skip
def test_any_rootfile_is_found(sheet: Sheet, container: str) -> None:
    files = {
        "META-INF/container.xml": container.encode(),
        "cover.png": b"rubbish",
        "a.xml": sheet("C5:4 / C5:4"),
        "score/my song.xml": sheet("C5:4"),
    }
    assert len(read_bytes(packed(files), "x.mxl").chart.bars) == 1


def test_a_rootfile_may_have_any_ending(sheet: Sheet) -> None:
    files = {"META-INF/container.xml": CONTAINER.format("lead").encode(), "lead": sheet("C5:4")}
    assert len(read_bytes(packed(files), "x.mxl").chart.bars) == 1


def test_without_a_container_the_first_score_is_read(sheet: Sheet) -> None:
    assert len(read_bytes(packed({"b.png": b"", "a.musicxml": sheet("C5:4")}), "x").chart.bars) == 1


@pytest.mark.parametrize("path", ["../../outside.xml", "/outside.xml", "C:\\outside.xml"])
def test_no_path_leads_out_of_the_archive(sheet: Sheet, tmp_path: Path, path: str) -> None:
    outside = tmp_path / "outside.xml"
    outside.write_bytes(sheet("C5:4 / C5:4"))
    place = tmp_path / "a" / "b" / "song.mxl"
    place.parent.mkdir(parents=True)
    for name in (path, str(outside)):
        container = CONTAINER.format(name).encode()
        place.write_bytes(packed({"META-INF/container.xml": container, "a.xml": sheet("C5:4")}))
        assert len(read(place).chart.bars) == 1
    place.write_bytes(packed({path: sheet("C5:4")}))  # an entry so named is read, never written
    assert len(read(place).chart.bars) == 1
    files = [file for file in tmp_path.rglob("*") if file.is_file()]
    assert sorted(files) == sorted([outside, place])


def test_bytes_are_counted_as_they_stream(sheet: Sheet, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(archive, "MAX_BYTES", 100_000)
    score = sheet("C5:4")
    assert read_bytes(packed({"a.xml": score}), "x.mxl")
    bomb = packed({"a.xml": score + b" " * 10_000_000})
    assert len(bomb) < 100_000
    assert "more than" in refused(bomb).message
    assert "more than" in refused(score + b" " * 100_000).message
    together = packed({archive.CONTAINER: b" " * 99_999, "a.xml": score})
    assert "more than" in refused(together).message


def test_the_size_an_archive_states_is_not_trusted(
    sheet: Sheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive, "MAX_BYTES", 100_000)
    bomb = packed({"a.xml": sheet("C5:4") + b" " * 500_000})
    size = (500_000 + len(sheet("C5:4"))).to_bytes(4, "little")
    refused(bomb.replace(size, (1000).to_bytes(4, "little")))


def test_too_many_entries_are_refused(sheet: Sheet) -> None:
    files = {f"{number}.txt": b"" for number in range(archive.MAX_ENTRIES)}
    assert "files in it" in refused(packed({"a.xml": sheet("C5:4"), **files})).message


def test_too_many_tags_are_refused(sheet: Sheet, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "MAX_TAGS", 50)
    assert "tags" in refused(sheet(" / ".join(["C5:4"] * 20))).message


def test_an_encrypted_or_unknown_compression_is_refused(sheet: Sheet) -> None:
    data = bytearray(packed({"a.xml": sheet("C5:4")}))
    central = data.index(b"PK\x01\x02")
    data[6] |= 1  # the flag of encryption, in both headers
    data[central + 8] |= 1
    assert "damaged" in refused(bytes(data)).message
    data = bytearray(packed({"a.xml": sheet("C5:4")}))
    data[8], data[central + 10] = 99, 99  # a method no one knows
    assert "damaged" in refused(bytes(data)).message
    refused(packed({"a.xml": sheet("C5:4")}, zipfile.ZIP_LZMA))


def test_deep_nesting_is_no_trouble() -> None:
    deep = 20_000
    inside = b"<a>" * deep + b"</a>" * deep
    data = (
        b"<score-partwise><part id='P'><measure>" + inside + b"</measure></part></score-partwise>"
    )
    assert len(read_bytes(data, "x").chart.bars) == 1
