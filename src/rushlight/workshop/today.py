"""What the day asks for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from rushlight.workshop.material_views import MaterialLine
from rushlight.workshop.pour_views import PourLine, Timer
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.views import OrderLine

_AHEAD: Final = 50
_JUST_READY: Final = timedelta(days=7)
_LONG_CURE: Final = timedelta(days=366)
_DUE: Final = timedelta(days=7)
_MOST_DUE: Final = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """The day at a glance.

    planned: overdue and to come, soonest first, at most 50. curing: finished, not yet
    ready. ready: came out of cure in the last seven days. short: materials that planned
    pours lack, or that are low. timers: running, by deadline, with their pour. due: orders to
    be sent that are late or due within seven days, soonest first, at most 50.
    """

    day: date
    demo: bool
    running: tuple[PourLine, ...]
    planned: tuple[PourLine, ...]
    curing: tuple[PourLine, ...]
    ready: tuple[PourLine, ...]
    short: tuple[MaterialLine, ...]
    timers: tuple[tuple[int, Timer], ...]
    due: tuple[OrderLine, ...]


def today(shop: Workshop) -> Today:
    """Return what the day asks for."""
    from rushlight.store.queries import orders
    from rushlight.store.queries import pours as query
    from rushlight.store.queries.others import settings
    from rushlight.workshop.materials import lacking
    from rushlight.workshop.pour_lines import line_of
    from rushlight.workshop.pour_sheet import timer_of
    from rushlight.workshop.settings import settings_of
    from rushlight.workshop.stores.order_view import order_line

    day, one = shop.today(), timedelta(days=1)
    with shop.store.reading() as connection:
        running = query.pour_lines(connection, state="running", soonest=True)
        planned = query.pour_lines(connection, state="planned", soonest=True, limit=_AHEAD)
        curing = query.ready_between(connection, day + one, day + _LONG_CURE)
        ready = query.ready_between(connection, day - _JUST_READY, day)
        timers = query.running_timers(connection)
        short = lacking(shop, connection)
        due = orders.not_sent(connection, by=day + _DUE)[:_MOST_DUE]
        sums = orders.totals(connection, [row["id"] for row in due])
        demo = settings_of(settings(connection)).demo
    return Today(
        day=day,
        demo=demo,
        running=tuple(line_of(shop, row) for row in running),
        planned=tuple(line_of(shop, row) for row in planned),
        curing=tuple(line_of(shop, row) for row in curing),
        ready=tuple(line_of(shop, row) for row in ready),
        short=short,
        timers=tuple((row["pour_id"], timer_of(shop, row)) for row in timers),
        due=tuple(order_line(row, sums[row["id"]]) for row in due),
    )
