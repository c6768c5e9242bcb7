"""What sounds is known, and always ends."""

from chartwalk.clock.output import Output
from chartwalk.clock.ports import GONE, MISSING, NO_SYSTEM, PortError

ON, OFF, ZERO = bytes([0x99, 76, 100]), bytes([0x89, 76, 0]), bytes([0x99, 76, 0])
RELEASE_9 = [bytes([0xB9, number, 0]) for number in (64, 123, 120)]


class Device:
    """A port that remembers; it can be told to fail or to vanish."""

    def __init__(self) -> None:
        self.said: list[bytes | str] = []
        self.there = True
        self.fails = False

    def get_ports(self) -> list[str]:
        return ["piano"] if self.there else []

    def send_message(self, message: bytes) -> None:
        if self.fails:
            raise OSError("cable pulled")
        self.said.append(message)

    def close_port(self) -> None:
        self.said.append("closed")

    def delete(self) -> None:
        self.said.append("deleted")


def opened() -> tuple[Output, Device]:
    device = Device()
    output = Output(lambda name: device)
    assert output.open("piano").name == "piano"
    return output, device


def test_closing_ends_what_sounds_before_the_port_goes() -> None:
    output, device = opened()
    output.send(ON)
    output.close()
    assert device.said == [ON, bytes([0x89, 76, 64]), *RELEASE_9, "closed", "deleted"]
    assert output.name == ""


def test_notes_that_were_ended_are_not_ended_again() -> None:
    for end in (OFF, ZERO):
        output, device = opened()
        output.send(ON)
        output.send(end)
        output.release()
        assert device.said == [ON, end, *RELEASE_9]


def test_one_note_is_ended_once_and_only_if_it_sounds() -> None:
    output, device = opened()
    output.end(9, 76)
    output.send(ON)
    output.end(0, 76)
    output.end(9, 76)
    output.end(9, 76)
    assert device.said == [ON, bytes([0x89, 76, 64])]


def test_only_channels_in_use_are_reset_unless_others_are_given() -> None:
    output, device = opened()
    output.send(b"\xf8")
    output.release()
    assert device.said == [b"\xf8"]
    output.release(range(16))
    assert len(device.said) == 1 + 48


def test_without_a_port_all_goes_on_in_silence() -> None:
    output = Output(lambda name: Device())
    output.send(ON)
    output.check()
    output.release(range(16))
    output.close()
    assert output.take_fault() is None
    assert "no MIDI port" in output.open("").reason


def test_a_port_that_can_not_be_had_says_why() -> None:
    for problem, words in (
        (MISSING, "not installed"),
        (NO_SYSTEM, "no MIDI system"),
        (GONE, "'piano' is not there"),
        ("device busy", "'piano' failed: device busy"),
    ):

        def fail(name: str, problem: str = problem) -> Device:
            raise PortError(problem)

        answer = Output(fail).open("piano")
        assert answer.name == ""
        assert words in answer.reason


def test_a_port_that_fails_or_vanishes_is_given_up_and_said_once() -> None:
    output, device = opened()
    device.fails = True
    output.send(ON)
    output.send(ON)
    fault = output.take_fault()
    assert fault is not None
    assert "cable pulled" in fault.reason
    assert output.take_fault() is None
    assert device.said == ["deleted"]

    output, device = opened()
    output.check()
    assert output.take_fault() is None
    device.there = False
    output.check()
    fault = output.take_fault()
    assert fault is not None
    assert "is not there" in fault.reason
    assert output.name == ""
