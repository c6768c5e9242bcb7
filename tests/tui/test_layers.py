"""What may import what: imports go down only, and the screen stays out of the engine."""

import ast
import importlib.util
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

SCREEN_AND_HEAVY = ("textual", "rich", "mido", "music21", "rtmidi", "_rtmidi")

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"


def table(heading: str) -> tuple[set[str], ...]:
    """The rows of a table of the contributor's guide, from the bottom up: the rooms of each."""
    text = GUIDE.read_text(encoding="utf-8").partition(f"| {heading}, top to bottom |")[2]
    rows = text.partition("\n\n")[0].splitlines()[2:]
    return tuple(set(re.findall(r"`([^`]+)`", row.split("|")[1])) for row in reversed(rows))


LEVELS, TUI_LEVELS = table("engine"), table("screens")


def folder(package: str) -> Path:
    """The folder of a package, without importing it."""
    spec = importlib.util.find_spec(package)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent


def sources(package: str) -> dict[str, Path]:
    """The modules of a package by name, the package's own name left off."""
    root = folder(package)
    found = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        found[".".join(part for part in parts if part != "__init__")] = path
    return found


ENGINE, TUI = sources("chartwalk"), sources("chartwalk_tui")


def imports(path: Path, *, anywhere: bool = True) -> Iterator[str]:
    """The modules that a file imports: at its top, or anywhere but for the type checker alone."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in _walk(tree) if anywhere else tree.body:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            assert node.module is not None
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    yield node
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
            continue
        yield from _walk(child)


def room(module: str) -> str:
    """The room a module is in: the package or module right below the top."""
    return module.partition(".")[0]


def level(module: str, levels: tuple[set[str], ...]) -> int:
    """The level of the room that a module is in."""
    found = [height for height, rooms in enumerate(levels) if room(module) in rooms]
    assert len(found) == 1, f"{room(module)} stands {len(found)} times in the guide's table"
    return found[0]


def local(name: str, package: str, modules: dict[str, Path]) -> str | None:
    """A module of a package by its full name, None for anything else."""
    inside = name.removeprefix(package).removeprefix(".")
    return inside if name.startswith(f"{package}.") and inside in modules else None


def upward(
    module: str, package: str, modules: dict[str, Path], levels: tuple[set[str], ...]
) -> list[str]:
    """The imports of a module that do not go down, or stay inside its own room."""
    height = level(module, levels)
    below = [local(name, package, modules) for name in imports(modules[module])]
    return [
        name
        for name in below
        if name and room(name) != room(module) and level(name, levels) >= height
    ]


@pytest.mark.parametrize("module", [name for name in ENGINE if name])
def test_the_engine_imports_downwards_only(module: str) -> None:
    assert not upward(module, "chartwalk", ENGINE, LEVELS)
    assert not [name for name in imports(ENGINE[module]) if name.startswith("chartwalk_tui")]


@pytest.mark.parametrize("module", [name for name in TUI if name])
def test_the_screens_import_downwards_only(module: str) -> None:
    assert not upward(module, "chartwalk_tui", TUI, TUI_LEVELS)


def test_every_room_of_the_guide_is_there() -> None:
    assert set().union(*LEVELS) == {room(name) for name in ENGINE if name}
    assert set().union(*TUI_LEVELS) == {room(name) for name in TUI if name}


@pytest.mark.parametrize("module", [name for name in ENGINE if name])
def test_the_engine_has_no_import_of_screens_or_heavy_things(module: str) -> None:
    everywhere = {name.partition(".")[0] for name in imports(ENGINE[module])}
    at_top = {name.partition(".")[0] for name in imports(ENGINE[module], anywhere=False)}
    assert not everywhere & {"textual", "rich", "mido"}
    assert not at_top & set(SCREEN_AND_HEAVY)
    if "rtmidi" in everywhere:
        assert module.partition(".")[0] in {"clock", "midi"}


@pytest.mark.parametrize("module", [name for name in TUI if name.partition(".")[0] == "widgets"])
def test_widgets_know_nothing_of_music(module: str) -> None:
    roots = {name.partition(".")[0] for name in imports(TUI[module])}
    assert "chartwalk" not in roots, "a widget draws the value it is given"


@pytest.mark.parametrize("module", ["actions", "theme", "widgets.letters", "widgets.strokes"])
def test_tables_of_the_screens_hold_no_engine(module: str) -> None:
    assert "chartwalk" not in {name.partition(".")[0] for name in imports(TUI[module])}


def loaded_after(statement: str) -> set[str]:
    """The modules that a fresh interpreter holds after a statement."""
    code = f"import sys, json, importlib\n{statement}\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout))


def test_importing_all_of_the_engine_loads_no_screen_and_nothing_heavy() -> None:
    names = ["chartwalk"] + [f"chartwalk.{name}" for name in ENGINE if name]
    loaded = loaded_after("\n".join(f"importlib.import_module({name!r})" for name in names))
    assert set(names) <= loaded
    assert not loaded & set(SCREEN_AND_HEAVY)
    assert not any(name.startswith("chartwalk_tui") for name in loaded)


def test_the_commands_load_no_screen() -> None:
    loaded = loaded_after("import chartwalk_tui.cli")
    assert not loaded & set(SCREEN_AND_HEAVY)


def test_the_screens_load_nothing_heavy() -> None:
    loaded = loaded_after("import chartwalk_tui.start")
    assert "textual" in loaded
    assert not loaded & {"mido", "music21", "rtmidi", "numpy"}
