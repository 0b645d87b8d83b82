"""The one exception tree of Rushlight.

```
RushlightError
├── BadInput        what was typed cannot be used; carries every Problem at once
│                   (command line: exit 2; web: 422 in place)
├── NotFound        no such candle, pour, material …      (exit 2; 404)
├── Refused         the thing exists, but not in a state that allows this
│                   (exit 2; 409), e.g. changing a revision that was poured
├── WorkshopError   the workshop file: locked, newer, foreign, full disc
│                   (exit 1; 503)
└── SolverError     a numerical method did not converge; carries its state
                    (exit 1; 500)
```
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what was typed.

    place: dotted path of the field, such as ``"vessel.brim"``; empty when unknown.
    what: what is wrong, one plain sentence.
    remedy: what to type or do instead, one plain sentence.
    """

    place: str
    what: str
    remedy: str

    def at(self, place: str) -> Problem:
        """Return the same problem, said of another place."""
        return Problem(place, self.what, self.remedy)

    def __str__(self) -> str:
        """Return the problem as one line: where, what, what to do."""
        where = f"{self.place}: " if self.place else ""
        return f"{where}{self.what} {self.remedy}"


class RushlightError(Exception):
    """Base of every error Rushlight raises on purpose."""


class BadInput(RushlightError):
    """What was typed cannot be used; all problems are carried, not only the first."""

    def __init__(self, *problems: Problem) -> None:
        """Carry the problems."""
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))

    @classmethod
    def one(cls, what: str, remedy: str, place: str = "") -> BadInput:
        """Return an error with a single problem."""
        return cls(Problem(place, what, remedy))

    def at(self, place: str) -> BadInput:
        """Return the same problems, each put at (or under) a place."""
        return BadInput(*(p.at(f"{place}.{p.place}" if p.place else place) for p in self.problems))


class NotFound(RushlightError):
    """There is no such thing in the workshop."""


class Refused(RushlightError):
    """The thing is not in a state that allows this."""


class WorkshopError(RushlightError):
    """The workshop file cannot be used as it is."""


class SolverError(RushlightError):
    """A numerical method did not converge."""

    def __init__(self, message: str, state: Mapping[str, float]) -> None:
        """Carry the state the method had reached."""
        self.state = dict(state)
        super().__init__(message)


class Problems:
    """Collects problems, so that a form can show all of them at once."""

    def __init__(self) -> None:
        """Start with none."""
        self.found: list[Problem] = []

    def add(self, place: str, what: str, remedy: str) -> None:
        """Note one problem."""
        self.found.append(Problem(place, what, remedy))

    def extend(self, problems: Iterable[Problem]) -> None:
        """Note several problems."""
        self.found.extend(problems)

    def check(self) -> None:
        """Raise BadInput if anything was noted."""
        if self.found:
            raise BadInput(*self.found)
