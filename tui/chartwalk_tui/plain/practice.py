"""A practice in lines: what a line does, and its help."""

from typing import Final

from chartwalk_tui.plain.arranging import Arranging
from chartwalk_tui.plain.commands import COMMANDS, NOT_HERE, UnknownLetterError, commands_of
from chartwalk_tui.plain.drilling import Drilling
from chartwalk_tui.plain.moving import Moving

WELCOME: Final = "Type a letter and Enter; Enter alone is the next bar. ? lists all, q leaves."


class Practice(Moving, Drilling, Arranging):
    """A song, practised by lines."""

    ended = False

    def begin(self) -> None:
        """Tell about the file, the song, where we are, and how to go on."""
        super().begin()
        self.say(WELCOME)

    def do(self, line: str) -> None:
        """Do what a line says: answer what was asked, or its letters one after the other."""
        if answered := self.asked:
            self.asked = None
            answered(line.strip())
            return
        try:
            commands = commands_of(line)
        except UnknownLetterError as error:
            self.say(NOT_HERE.get(error.letter, f"{error.letter} does nothing. ? lists all."))
            return
        for command, rest in commands:
            if not self.ended:
                getattr(self, command.name)(rest)

    def help(self, _: str = "") -> None:
        """List the letters, and tell what is known about the file."""
        for command in COMMANDS:
            self.say(f"{command.said}: {command.help}.")
        self.tell_about_the_file()
        chart = self.session.written.chart
        for told in (chart.credit, *chart.note.splitlines()):
            self.say(told)

    def quit(self, _: str = "") -> None:
        """Leave."""
        self.ended = True

    def leave(self) -> None:
        """Stop what runs, and keep how the song is played."""
        self.halt()
        self.remember()
