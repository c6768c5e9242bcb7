"""Looking for ports never raises and never prints; choosing one is explained."""

import subprocess
import sys

import pytest

from chartwalk import midi
from chartwalk.clock import ports as found
from chartwalk.clock.ports import BUILT_IN
from chartwalk.midi import NO_OUTPUT, PROBLEMS, Ports, choose, first_real, midi_ports, output_ports

THROUGH = "Midi Through:Midi Through Port-0 14:0"
PIANO = "Stage Piano:Stage Piano MIDI 1 24:0"


def answering(code: str) -> list[str]:
    return [sys.executable, "-c", code]


def test_what_the_child_finds_is_handed_on() -> None:
    child = answering("""print('{"outputs": ["a", "b"], "problem": ""}')""")
    assert midi_ports(30, command=child) == Ports(("a", "b"))


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ('print(\'{"outputs": [], "problem": "missing"}\')', "pip install 'chartwalk[midi]'"),
        ('print(\'{"outputs": [], "problem": "no system"}\')', "connect a keyboard"),
        ('print(\'{"outputs": [], "problem": ""}\')', "connect a keyboard"),
        ('print(\'{"outputs": [], "problem": "odd"}\')', "restart it"),
        ("print('{}')", "restart it"),
        ("print('[]')", "restart it"),
        ("print('no json')", "restart it"),
        ("raise SystemExit(3)", "restart it"),
        ("import os; os.abort()", "restart it"),
    ],
)
def test_every_answer_becomes_one_line_that_says_what_to_do(code: str, words: str) -> None:
    ports = midi_ports(30, command=answering(code))
    assert ports.outputs == ()
    assert ports.problem is not None
    assert words in ports.problem
    assert "\n" not in ports.problem


def test_a_system_that_hangs_is_left_behind() -> None:
    ports = midi_ports(0.2, command=answering("import time; time.sleep(600)"))
    assert ports.problem is not None
    assert "does not answer" in ports.problem


def test_a_child_that_can_not_be_started_is_a_problem_like_others() -> None:
    assert midi_ports(command=["/no/such/program"]).problem is not None


LOOKS = [
    ('{"outputs": ["a"], "problem": ""}', ("a",), None),
    ('{"outputs": [], "problem": ""}', (), None),
    ('{"outputs": [], "problem": "missing"}', (), None),
    ('{"outputs": [], "problem": "no system"}', (), None),
    ('{"outputs": [], "problem": "odd"}', (), "restart it"),
]


@pytest.mark.parametrize(("answer", "names", "words"), LOOKS)
def test_the_loudspeaker_comes_last_and_no_midi_is_no_trouble_then(
    monkeypatch: pytest.MonkeyPatch, answer: str, names: tuple[str, ...], words: str | None
) -> None:
    monkeypatch.setattr(midi, "loudspeaker_there", lambda: True)
    ports = output_ports(30, command=answering(f"print({answer!r})"))
    assert ports.outputs == (*names, BUILT_IN)
    assert words in ports.problem if words and ports.problem else ports.problem is None
    assert choose(ports, None).port == (*names, BUILT_IN)[0]


@pytest.mark.parametrize(("answer", "names"), [look[:2] for look in LOOKS])
def test_without_the_loudspeaker_there_are_midi_ports_or_a_problem(
    monkeypatch: pytest.MonkeyPatch, answer: str, names: tuple[str, ...]
) -> None:
    monkeypatch.setattr(midi, "loudspeaker_there", lambda: False)
    ports = output_ports(30, command=answering(f"print({answer!r})"))
    assert ports.outputs == names
    assert (ports.problem is None) == bool(names)
    assert bool(choose(ports, None).port) == bool(names)


def test_where_nothing_sounds_the_way_to_sound_is_told() -> None:
    for line in (NO_OUTPUT, *PROBLEMS.values()):
        if midi._LOUDSPEAKER:
            assert "python -m pip install 'chartwalk[sound]'" in line
        assert "\n" not in line


def test_a_missing_library_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "rtmidi", None)
    with pytest.raises(found.PortError, match="missing"):
        found.output_names()
    with pytest.raises(found.PortError, match="missing"):
        found.open_output("x")


def test_looking_prints_nothing_in_this_process(capfd: pytest.CaptureFixture[str]) -> None:
    ports = output_ports(30)
    assert isinstance(ports.outputs, tuple)
    assert capfd.readouterr() == ("", "")


def test_whatever_a_library_prints_stays_out_of_the_answer() -> None:
    code = (
        "import os, sys; sys.path[:] = sys.argv[1:]\n"
        "from chartwalk.clock import ports\n"
        "def names():\n"
        "    os.write(1, b'noise')\n"
        "    print('noise', flush=True)\n"
        "    return ('a',)\n"
        "ports.output_names = names\n"
        "ports.main()\n"
    )
    child = subprocess.run(
        [sys.executable, "-c", code, *sys.path], capture_output=True, text=True, check=True
    )
    assert child.stdout == '{"outputs": ["a"], "problem": ""}\n'


@pytest.mark.parametrize(
    ("names", "chosen"),
    [
        ((), None),
        ((THROUGH,), None),
        ((THROUGH, PIANO), PIANO),
        (("chartwalk:out", "IAC Driver Bus 1", PIANO), PIANO),
        (("Microsoft GS Wavetable Synth 0", PIANO), PIANO),
        (("Microsoft GS Wavetable Synth 0",), "Microsoft GS Wavetable Synth 0"),
        (("Microsoft GS Wavetable Synth 0", BUILT_IN), BUILT_IN),
        ((THROUGH, BUILT_IN), BUILT_IN),
        ((THROUGH, PIANO, BUILT_IN), PIANO),
    ],
)
def test_the_first_instrument_is_chosen(names: tuple[str, ...], chosen: str | None) -> None:
    assert first_real(Ports(names)) == chosen
    choice = choose(Ports(names), None)
    assert choice.port == chosen
    assert choice.note


def test_an_exact_name_goes_before_a_part_of_one() -> None:
    ports = Ports(("Piano 2", "Piano", THROUGH))
    assert choose(ports, "Piano").port == "Piano"
    assert choose(ports, "pIANO").port == "Piano 2"
    assert choose(ports, "through").port == THROUGH


def test_what_is_not_there_is_said_with_what_is() -> None:
    choice = choose(Ports((PIANO,)), "organ")
    assert choice.port is None
    assert "organ" in choice.note
    assert PIANO in choice.note
    assert choose(Ports(problem="No MIDI."), "organ") == midi.Choice(None, "No MIDI.")
    assert choose(Ports(problem="No MIDI."), None) == midi.Choice(None, "No MIDI.")


def test_a_midi_system_that_fails_leaves_the_loudspeaker_and_is_told_to_who_wants_midi() -> None:
    ports = Ports((BUILT_IN,), "MIDI fails.")
    assert choose(ports, None).port == BUILT_IN
    assert choose(ports, "loudspeaker").port == BUILT_IN
    assert choose(ports, "organ") == midi.Choice(None, "MIDI fails.")
