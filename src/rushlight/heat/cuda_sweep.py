"""A sweep whose settings are marched on a graphics card, many at once.

The same rows as `rushlight.heat.sweep.sweep`, from the same cases. Only the march moves to the
card; pouring and reading stay on the processor, as do burns, candles too large for a block,
and the few that have not set within the first span.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass
from itertools import islice

import numpy as np

from rushlight.errors import RushlightError
from rushlight.heat.cuda_march import march_many
from rushlight.heat.cuda_pack import ROOM
from rushlight.heat.enthalpy import Array
from rushlight.heat.march import March
from rushlight.heat.set import COARSE, EARLY, EVERY, HORIZON, OFTEN, _all_set, _read
from rushlight.heat.setting import Doubt, Poured, Setting, pour
from rushlight.heat.sweep import Case, Row, work
from rushlight.heat.system import Parts

BATCH = 132  # candles at once: one to each processor of the card the figures are from

Marcher = Callable[[Sequence[Parts], Sequence[Array], Array], Sequence[March]]


@dataclass(frozen=True, slots=True)
class _Ready:
    """A case poured and waiting for the card."""

    number: int
    case: Case
    poured: Poured


def sweep(
    cases: Iterable[Case],
    *,
    progress: Callable[[int], None] | None = None,
    stop: Callable[[], bool] | None = None,
    batch: int = BATCH,
    marcher: Marcher = march_many,
) -> list[Row]:
    """Return one row a case, in the order of the cases.

    progress: told how many are done; stop: asked before each batch; marcher: what marches
    one, the card unless said.
    """
    rest = iter(cases)
    rows: list[Row] = []
    while (some := list(islice(rest, batch))) and not (stop is not None and stop()):
        rows += _batch(some, marcher)
        if progress is not None:
            progress(len(rows))
    return rows


def _batch(cases: Sequence[Case], marcher: Marcher) -> list[Row]:
    rows: dict[int, Row] = {}
    ready = []
    for number, case in enumerate(cases):
        poured = _poured(case)
        if poured is None or len(poured.state) > ROOM:
            rows[number] = work(case)
        else:
            ready.append(_Ready(number, case, poured))
    if ready:
        late = np.arange(EVERY, HORIZON + 1.0, EVERY)
        clock = np.concatenate([np.arange(OFTEN, EARLY, OFTEN), late[late >= EARLY]])
        parts = [r.poured.parts for r in ready]
        found = marcher(parts, [r.poured.state for r in ready], clock)
        for r, marched in zip(ready, found, strict=True):
            rows[r.number] = _row(r, marched)
    return [rows[number] for number in sorted(rows)]


def _poured(case: Case) -> Poured | None:
    """Return a setting poured on the grid of a sweep, None for what the card does not take."""
    if not isinstance(case.subject, Setting):
        return None
    widest = max(float(s.diameter) for s in case.subject.profile.stations)
    try:
        return pour(
            case.subject,
            columns=max(4, round(0.5 * widest / COARSE)),
            rows=max(4, round(case.subject.fill / COARSE)),
        )
    except RushlightError:
        return None  # `work` says why


def _row(ready: _Ready, marched: March) -> Row:
    if not _all_set(ready.poured, marched.frames[-1]):
        return work(ready.case)
    times = np.concatenate([[0.0], marched.times])
    frames = np.concatenate([ready.poured.state[None, :], marched.frames])
    run = _read(ready.poured, times, frames, marched.books, Doubt())
    return {"case": ready.case.name, "problem": "", **asdict(run.figures)}
