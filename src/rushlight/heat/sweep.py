"""Many candles at once: cases in, a table out, on any `concurrent.futures.Executor`.

The work of one case is a plain function of one picklable argument, so processes
on one machine, threads, or a distributed engine that offers an Executor all do.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import asdict, dataclass

from rushlight.errors import RushlightError
from rushlight.heat.burn_run import Burning
from rushlight.heat.setting import Setting

PATIENCE = 0.25  # how often a stop is looked for [s]
GRACE = 4  # how many such looks a stopped sweep allows the cases that run
AHEAD = 64  # cases handed out before they are needed


@dataclass(frozen=True)
class Case:
    """One candle of a sweep: a name that tells it from the others, and the candle."""

    name: str
    subject: Setting | Burning


Row = dict[str, str | float]


def work(case: Case) -> Row:
    """Return the figures of one case; a case that cannot be says why in `problem`.

    SI units, as in `SetFigures` and `BurnFigures`.
    """
    try:
        if isinstance(case.subject, Setting):
            from rushlight.heat import set as setting

            figures: Row = asdict(setting.once(case.subject, cell=setting.COARSE).figures)
        else:
            from rushlight.heat import burn

            figures = asdict(burn.once(case.subject)[0])
    except RushlightError as bad:
        return {"case": case.name, "problem": str(bad)}
    return {"case": case.name, "problem": "", **figures}


def sweep(
    cases: Iterable[Case],
    *,
    executor: Executor,
    progress: Callable[[int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> list[Row]:
    """Return one row a case, in the order of the cases.

    progress: told how many are done; stop: asked every quarter second, and when it
    says so no further case is begun, those running are waited for a second at most, and
    the rows so far are returned. What then still runs is the executor's to end: leaving
    `workshop.sweep_engine` does.
    """
    rows: dict[int, Row] = {}
    waiting: dict[Future[Row], int] = {}
    rest = enumerate(cases)
    halted, patience = False, GRACE
    while patience:
        while not halted and len(waiting) < AHEAD and (item := next(rest, None)):
            waiting[executor.submit(work, item[1])] = item[0]
        if not waiting:
            break
        done, _ = wait(waiting, timeout=PATIENCE, return_when=FIRST_COMPLETED)
        for future in done:
            rows[waiting.pop(future)] = future.result()
        if progress is not None and done:
            progress(len(rows))
        patience -= halted
        if not halted and stop is not None and stop():
            halted = True
            for future in list(waiting):
                if future.cancel():
                    waiting.pop(future)
    return [rows[number] for number in sorted(rows)]


def as_csv(rows: Sequence[Row]) -> str:
    """Return rows as comma-separated text, the columns in order of first appearance."""
    columns = list(dict.fromkeys(key for row in rows for key in row))
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()
