"""``chartwalk ports``: the MIDI outputs seen."""

import argparse
import sys

from chartwalk.midi import first_real, output_ports
from chartwalk_tui.commands.output import print_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Take nothing."""


def run(options: argparse.Namespace) -> int:
    """Print the ports; having none is no error."""
    ports = output_ports()
    first = first_real(ports)
    if options.json:
        print_json({"outputs": list(ports.outputs), "default": first, "problem": ports.problem})
        return 0
    for name in ports.outputs:
        print(name + ("  (the click sounds here)" if name == first else ""))
    if ports.problem:
        print(ports.problem, file=sys.stderr)
    return 0
