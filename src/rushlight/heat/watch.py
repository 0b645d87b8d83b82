"""Long work that is looked at, and may be stopped, between its parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Stop = Callable[[], bool]
Progress = Callable[[int], object]


class Stopped(Exception):
    """The work was cancelled; raised inside it, for whoever asked it to stop."""


@dataclass(slots=True)
class Watch:
    """Who looks on: `stop` is asked between parts, `progress` told how many are done."""

    stop: Stop | None = None
    progress: Progress | None = None
    done: int = 0

    def heed(self) -> None:
        """Raise Stopped when asked to stop."""
        if self.stop is not None and self.stop():
            raise Stopped

    def part(self) -> None:
        """Note one more part as done; raise Stopped when asked to stop."""
        self.done += 1
        if self.progress is not None:
            self.progress(self.done)
        self.heed()
