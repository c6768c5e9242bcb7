"""Saving: a file is there whole, or as it was before."""

import os
from pathlib import Path

import pytest

from chartwalk.export import save


def test_a_new_file_and_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "new.lead"
    save(b"title T\n", path)
    assert path.read_bytes() == b"title T\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_was_there_keeps_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "old.lead"
    path.write_text("old")
    path.chmod(0o640)
    save(b"new", path)
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"new", 0o640)


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target, link = tmp_path / "target.lead", tmp_path / "link.lead"
    target.write_text("old")
    link.symlink_to(target)
    save(b"new", link)
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_what_fails_on_the_way_leaves_the_old_file_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "old.lead"
    path.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        save(b"new", path)
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_no_folder_is_made(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        save(b"new", tmp_path / "none" / "new.lead")
