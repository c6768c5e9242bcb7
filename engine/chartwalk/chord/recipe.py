"""What each piece of a chord symbol does to the notes, and how to say it in plain words.

A symbol is read left to right. It begins as a major triad on the root; each piece changes the
degrees and returns the line that explains it.

References
----------
MusicXML 4.0 ``kind`` and ``degree``; Hutchinson, *Music Theory for the 21st-Century Classroom*,
chapters on triads, sevenths and jazz chord symbols; ABC 2.1 section 4.18 (slash bass).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

from chartwalk.chord.degree import Degree, spelled
from chartwalk.pitch import Name

STACKS: Final = {7: (7,), 9: (7, 9), 11: (7, 9, 11), 13: (7, 9, 11, 13)}
SEVENTHS: Final = {0: "major", -1: "minor", -2: "diminished"}
WORDS: Final = {2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}
LOW_LETTERS: Final = {9: "2nd", 11: "4th", 13: "6th"}
TRIAD: Final = (Degree(1), Degree(3), Degree(5))
QUARTAL: Final = (Degree(1), Degree(4), Degree(7, -1), Degree(3, -1))  # a fourth above each other


def spoken(name: Name) -> str:
    """Name a note, with the plain name of its key where the true one makes a player stop.

    >>> spoken(Name("F", 2)), spoken(Name("A"))
    ('F♯♯, the key G', 'A')
    """
    return f"{name}, the key {name.friendly}" if name.friendly else str(name)


def in_a_row(names: Iterable[Name]) -> str:
    """Name notes in a row, each with its plain name where it has one.

    >>> in_a_row([Name("D"), Name("F", 2)])
    'D F♯♯=G'
    """
    return " ".join(f"{name}={name.friendly}" if name.friendly else str(name) for name in names)


def word(number: int) -> str:
    """Return the degree in words: fifth, 9th, 11th."""
    return WORDS.get(number, f"{number}th")


def listed(words: Iterable[str]) -> str:
    """Join words as a sentence does.

    >>> listed(["9th", "11th", "13th"]), listed(["9th"])
    ('9th, 11th and 13th', '9th')
    """
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def counted_up(numbers: Iterable[int]) -> str:
    """Say how to find the notes beyond the octave; nothing for those within it.

    >>> counted_up([9])
    '; count up past the octave, the letter of the 2nd; put it where it is comfortable'
    """
    letters = [LOW_LETTERS[number] for number in numbers if number in LOW_LETTERS]
    if not letters:
        return ""
    if len(letters) == 1:
        found, put = f"the letter of the {letters[0]}", "put it where it is comfortable"
    else:
        found, put = f"the letters of the {listed(letters)}", "put them where they are comfortable"
    return f"; count up past the octave, {found}; {put}"


@dataclass(slots=True)
class Recipe:
    """The degrees of a symbol while it is read; every method returns the line that explains it."""

    root: Name
    degrees: list[Degree] = field(default_factory=lambda: list(TRIAD))
    diminished: bool = False
    triad_told: bool = False  # whether the first piece has said what the triad is

    def begin(self) -> str:
        """Say what a symbol begins with; without another word the triad is major."""
        friendly = self.root.friendly
        line = f"the root, the key {friendly}" if friendly else "the root"
        if self.triad_told:
            return line
        triad = in_a_row(map(self.name, TRIAD))
        return f"{line}; without another sign the triad is major, {triad}"

    def tell_triad(self) -> None:
        """Note that the piece at hand says what the triad is, unless another came before it."""
        self.triad_told = self.triad_told or self.degrees == list(TRIAD)

    def name(self, degree: Degree) -> Name:
        """Spell a degree of this root."""
        return spelled(self.root, degree)

    def say(self, numbers: Iterable[int]) -> str:
        """Name the notes held now on these degrees."""
        chosen = [degree for degree in self.degrees if degree.number in set(numbers)]
        return in_a_row(map(self.name, sorted(chosen)))

    def put(self, number: int, alter: int = 0) -> None:
        """Hold exactly one note on this degree."""
        self.drop(number)
        self.degrees.append(Degree(number, alter))

    def drop(self, number: int) -> None:
        """Hold no note on this degree."""
        self.degrees = [degree for degree in self.degrees if degree.number != number]

    def minor(self) -> str:
        """Lower the third."""
        self.tell_triad()
        self.put(3, -1)
        return f"minor, so {self.say((1, 3, 5))}"

    def major(self) -> str:
        """Say what a bare major sign says: that the plain triad is major, or else a seventh."""
        if self.degrees != list(TRIAD):
            return self.stack(7, 0)
        self.tell_triad()
        return f"major, so {self.say((1, 3, 5))}"

    def diminish(self) -> str:
        """Lower third and fifth; a seventh that follows is diminished too."""
        self.tell_triad()
        self.put(3, -1)
        self.put(5, -1)
        self.diminished = True
        return f"diminished, so {self.say((1, 3, 5))}"

    def half_diminish(self, number: int) -> str:
        """Lower third and fifth and add a minor seventh, with natural notes above if asked."""
        self.tell_triad()
        self.put(3, -1)
        self.put(5, -1)
        triad = f"half-diminished: lower third and fifth, so {self.say((1, 3, 5))}"
        return f"{triad}, and {self.stack(number, -1)}"

    def augment(self) -> str:
        """Raise the fifth."""
        self.tell_triad()
        self.put(5, 1)
        augmented = "augmented: " if Degree(3) in self.degrees else ""
        return f"{augmented}raise the fifth, so {self.say((1, 3, 5))}"

    def stack(self, number: int, seventh: int) -> str:
        """Add a seventh and the thirds above it up to 9, 11 or 13."""
        verb = "make it" if self._has(7) else "add"
        steps = [step for step in STACKS[number] if step != 11 or Degree(4) not in self.degrees]
        for step in steps:
            self.put(step, seventh if step == 7 else 0)
        line = f"{verb} a {SEVENTHS[seventh]} seventh, {spoken(self.name(Degree(7, seventh)))}"
        if above := steps[1:]:
            names = self.say(above) if above[1:] else spoken(self.name(Degree(above[0])))
            line += f", and above it the {listed(word(step) for step in above)}, {names}"
            line += counted_up(above)
        return line

    def number(self, number: int) -> str:
        """Add what a bare 7, 9, 11 or 13 adds: a minor seventh below (diminished after dim)."""
        return self.stack(number, -2 if self.diminished else -1)

    def sixth(self, ninth: bool) -> str:
        """Add the major sixth, and the 9th in 6/9."""
        self.put(6)
        line = f"add the major sixth, {spoken(self.name(Degree(6)))}"
        if ninth:
            self.put(9)
            line += f", and the 9th, {spoken(self.name(Degree(9)))}; no seventh{counted_up((9,))}"
        return line

    def power(self) -> str:
        """Leave out the third."""
        self.tell_triad()
        self.drop(3)
        return f"power chord: root and fifth only, {self.say((1, 5))}"

    def quartal(self, size: int) -> str:
        """Stack perfect fourths, three notes or four, in place of the triad."""
        self.tell_triad()
        self.degrees = list(QUARTAL[:size])
        names = in_a_row(map(self.name, self.degrees))
        return f"fourths stacked in place of thirds: {names}"

    def suspend(self, numbers: tuple[int, ...]) -> str:
        """Put the second or the fourth in place of the third."""
        self.tell_triad()
        self.drop(3)
        for number in numbers:
            self.put(number)
            if Degree(number + 7) in self.degrees:
                self.drop(number + 7)  # the same note, an octave up
        names = listed(f"the {word(number)} ({self.say((number,))})" for number in numbers)
        return f"suspended: {names} in place of the third, so {self.say((1, 2, 4, 5))}"

    def add(self, number: int, alter: int) -> str:
        """Add one note and nothing below it."""
        degree = Degree(number, alter)
        if degree not in self.degrees:
            self.degrees.append(degree)
        alone = ", no seventh" if number > 7 and not self._has(7) else ""
        kept = ", beside the third" if number in (2, 4) and self._has(3) else ""
        line = f"add the {self._spell_out(degree)}, {spoken(self.name(degree))}{alone}{kept}"
        return line + counted_up((number,))

    def alter(self, number: int, alter: int) -> str:
        """Raise or lower a degree, or make it natural; where it is not held yet, add it so.

        A second alteration of the same degree stands beside the first (♭9 and ♯9).
        """
        degree = Degree(number, alter)
        if not alter and self._has(number):
            self.put(number)
            return f"the natural {word(number)}, {spoken(self.name(degree))}"
        verb = "raise" if alter > 0 else "lower"
        if Degree(number) in self.degrees:
            self.put(number, alter)
            return f"{verb} the {word(number)} to {spoken(self.name(degree))}"
        if degree not in self.degrees:
            self.degrees.append(degree)
        name = spoken(self.name(degree))
        return f"add the {self._spell_out(degree)}, {name}{counted_up((number,))}"

    def altered(self) -> str:
        """Add a minor seventh with fifth and ninth both altered, the choice left to the player."""
        seventh = "" if Degree(7, -1) in self.degrees else f"{self.stack(7, -1)}; "
        self.drop(5)
        self.drop(9)
        self.degrees += [Degree(5, -1), Degree(5, 1), Degree(9, -1), Degree(9, 1)]
        fifth, ninth = (" or ".join(self.say((n,)).split()) for n in (5, 9))
        return f"altered: {seventh}choose {fifth} for the fifth and {ninth} for the 9th"

    def omit(self, numbers: Sequence[int]) -> str:
        """Leave out the notes on some degrees, and name those that were held."""
        names = self.say(numbers)
        for number in numbers:
            self.drop(number)
        line = f"leave out the {listed(word(number) for number in numbers)}"
        return f"{line}, {names}" if names else line

    def _has(self, number: int) -> bool:
        return any(degree.number == number for degree in self.degrees)

    @staticmethod
    def _spell_out(degree: Degree) -> str:
        shift = {1: "raised ", -1: "lowered "}.get(degree.alter, "")
        return f"{shift}{word(degree.number)}"
