"""The folder of the player's data."""

from pathlib import Path

import platformdirs
import pytest

from chartwalk.log import data_folder


def test_the_player_may_choose_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("CHARTWALK_HOME", str(tmp_path / "mine"))
    assert data_folder() == tmp_path / "mine"
    assert not (tmp_path / "mine").exists()


def test_a_tilde_is_the_home_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHARTWALK_HOME", "~/music log")
    assert data_folder() == Path.home() / "music log"


@pytest.mark.parametrize("value", [None, ""])
def test_else_it_is_where_the_system_keeps_data(
    monkeypatch: pytest.MonkeyPatch, value: str | None
) -> None:
    if value is None:
        monkeypatch.delenv("CHARTWALK_HOME", raising=False)
    else:
        monkeypatch.setenv("CHARTWALK_HOME", value)
    assert data_folder() == Path(platformdirs.user_data_dir("chartwalk", appauthor=False))
    assert data_folder().name == "chartwalk"
