"""One run through the rows of an import, inside a unit of work: for a preview or for good."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.quantity.preference import Preference
from rushlight.workshop.exchange.cells import Line, Lines, RowProblem
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from rushlight.store.deeds import Work


@dataclass(slots=True, kw_only=True)
class Run:
    """What a run knows and finds. source: the name of the file, for notes.

    counts: what was written, in words of one. touched: the subjects of what was written, so
    that nothing later that rests on one of them is undone from under it.
    """

    shop: Workshop
    work: Work
    lines: Lines
    pref: Preference
    source: str
    counts: Counter[str] = field(default_factory=Counter)
    touched: set[str] = field(default_factory=set)
    problems: list[RowProblem] = field(default_factory=list)

    def add(self, line: Line, key: str, what: str, remedy: str) -> None:
        """Note a problem at a field of a row; key "" is the row itself."""
        self.problems.append(RowProblem(line.number, self.lines.column(key), what, remedy))

    @contextmanager
    def noting(self, group: Sequence[Line]) -> Iterator[None]:
        """Note what is wrong with what one or several rows make, and go on with the next.

        Places such as "lines.2.price" are those of the third row of the group, others of the
        first.
        """
        try:
            yield
        except BadInput as bad:
            for problem in bad.problems:
                line, key = _placed(group, problem.place)
                self.add(line, key, problem.what, problem.remedy)
        except (Refused, NotFound) as said:
            self.add(group[0], "", str(said), "Change the row, or leave it out.")

    def shared(self, group: Sequence[Line], keys: Iterable[str]) -> dict[str, str]:
        """Return the fields that several rows share; two different texts are a problem."""
        found: dict[str, str] = {}
        for key in keys:
            first: Line | None = None
            for line in group:
                text = line.texts.get(key, "")
                if not text:
                    continue
                if first is None:
                    first, found[key] = line, text
                elif text != found[key]:
                    self.add(
                        line,
                        key,
                        f"“{text[:40]}” here, and “{found[key][:40]}” in row {first.number}, "
                        "which belongs to it.",
                        "Write the same in both, or leave it out here.",
                    )
        return found


def _placed(group: Sequence[Line], place: str) -> tuple[Line, str]:
    head, _, rest = place.partition(".")
    if head != "lines":
        return group[0], {"facts": f"fact.{rest}"}.get(head, head)
    number, _, key = rest.partition(".")
    inside = number.isdigit() and int(number) < len(group)
    return (group[int(number)] if inside else group[0]), key
