"""What a reading has to tell, each kind once, with the place where it was met first."""

from dataclasses import dataclass, field

from chartwalk.problems import Problem


@dataclass(slots=True)
class Told:
    """The warnings of one tune, in the order they were met."""

    file: str
    _met: dict[str, Problem] = field(default_factory=dict)
    _times: dict[str, int] = field(default_factory=dict)

    def tell(self, message: str, line: int = 0, column: int = 0) -> None:
        """Add a warning; one that was told before is only counted."""
        self._met.setdefault(message, Problem(message, self.file, line, column))
        self._times[message] = self._times.get(message, 0) + 1

    def problems(self) -> tuple[Problem, ...]:
        """Return every warning by its place, with how often it was met."""
        told = (
            Problem(
                message + (f" ({times} times)" if (times := self._times[message]) > 1 else ""),
                problem.file,
                problem.line,
                problem.column,
            )
            for message, problem in self._met.items()
        )
        return tuple(sorted(told, key=lambda problem: (problem.line, problem.column)))
