"""What sounds is known, and always ends."""

from chartwalk.clock.output import Output
from chartwalk.clock.ports import BUILT_IN, GONE, MISSING, NO_SYSTEM, PortError

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


def test_who_followed_our_clock_is_stopped_once_the_cable_is_in_again() -> None:
    # MIDI 1.0, system real time: FA starts, FC stops; a drum machine plays on until it is told.
    start, stop = b"\xfa", b"\xfc"
    devices = [Device(), Device()]
    output = Output(lambda name: devices.pop(0))
    before, after = devices
    output.open("piano")
    output.send(start)
    before.there = False
    output.check()
    output.release()  # the run is stopped, and nobody hears it
    output.open("piano")
    assert after.said == [stop]
    output.release()
    assert after.said == [stop], "it is told once"

    output, device = opened()
    output.send(start)
    device.fails = True
    output.release()
    device.fails = False
    output.open("piano")
    assert device.said == [start, "deleted", stop], "a stop that was not heard is none"


def test_who_was_stopped_before_the_cable_came_out_is_left_alone() -> None:
    output, device = opened()
    output.send(b"\xfa")
    output.release()
    device.there = False
    output.check()
    output.open("piano")
    assert device.said == [b"\xfa", b"\xfc", "deleted"]


class PunctualDevice(Device):
    """A port that is told when a message is due."""

    def get_ports(self) -> list[str]:
        return [BUILT_IN] if self.there else []

    def send_at(self, message: bytes, due: float) -> None:
        self.send_message(message + str(due).encode())


def test_an_output_that_keeps_time_itself_is_told_the_moment() -> None:
    device = PunctualDevice()
    output = Output(lambda name: device)
    output.open(BUILT_IN)
    output.send(ON, 2.5)
    output.send(OFF)
    output.release()
    assert device.said == [ON + b"2.5", OFF, *RELEASE_9]


def test_a_port_is_sent_to_whatever_the_moment() -> None:
    output, device = opened()
    output.send(ON, 2.5)
    assert device.said == [ON]


def test_after_the_loudspeaker_a_port_gets_its_messages_as_ever() -> None:
    devices: list[Device] = [PunctualDevice(), Device()]
    output = Output(lambda name: devices.pop(0))
    last = devices[-1]
    output.open(BUILT_IN)
    output.open("piano")
    output.send(ON, 2.5)
    assert last.said == [ON]


def test_a_loudspeaker_that_is_lost_is_spoken_of_as_one() -> None:
    device = PunctualDevice()
    output = Output(lambda name: device)
    output.open(BUILT_IN)
    device.there = False
    output.check()
    fault = output.take_fault()
    assert fault is not None
    assert (fault.name, "loudspeaker" in fault.reason) == ("", True)
    output.send(ON, 2.5)  # all goes on in silence

    for problem, words in (
        (MISSING, "pip install 'chartwalk[sound]'"),
        (NO_SYSTEM, "no loudspeaker"),
        ("odd", f"{BUILT_IN} failed: odd"),
    ):

        def fail(name: str, problem: str = problem) -> Device:
            raise PortError(problem)

        answer = Output(fail).open(BUILT_IN)
        assert answer.name == ""
        assert words in answer.reason
        assert "MIDI" not in answer.reason
