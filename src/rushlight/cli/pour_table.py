"""A pour as tables on the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rushlight.cli.pour import Seen
from rushlight.cli.stores_table import Shown, counted, day, moment
from rushlight.quantity import show
from rushlight.quantity.show import METRIC
from rushlight.quantity.si import Second
from rushlight.workshop.pour_views import PourLine, PourState
from rushlight.workshop.stores.finish_form import REASONS
from rushlight.workshop.stores.truth_views import Cost, PourTruth
from rushlight.workshop.stores.views import NeedLots


def show_pours(pours: Iterable[PourLine]) -> None:
    """Write pours in a list."""
    listed = list(pours)
    shown = Shown(METRIC)
    if not listed:
        shown.line("There is no such pour yet.")
    shown.rows(
        "",
        ("Pour>", "Candle", "State", "Planned for", "Jars>", "Out of cure"),
        (
            (p.id, p.candle, p.state.value, day(p.planned_for), p.jars, day(p.ready_on))
            for p in listed
        ),
    )


def show_pour(seen: Seen) -> None:
    """Write a pour: where it stands, its lots, and planned beside actual."""
    shown, pour = Shown(seen.pref), seen.pour
    shown.line(f"Pour {pour.id}: {pour.candle}, revision {pour.revision}", "bold")
    for sentence in _sentences(seen):
        shown.line(sentence)
    if seen.truth is not None:
        _show_truth(shown, seen.truth)
        return
    shown.rows(
        "",
        ("Need>", "Material", "Needed>", "Lot", "Taken>", "Good until", ""),
        (row for need in seen.needs for row in _need(shown, need)),
    )
    short = [f"{need.name} {shown.amount(need.short)}" for need in seen.needs if need.short.units]
    if short:
        shown.line(f"Short of: {', '.join(short)}.", "bold")


def _sentences(seen: Seen) -> Iterator[str]:
    pour = seen.pour
    by = f" by {pour.person}" if pour.person else ""
    match pour.state:
        case PourState.PLANNED:
            yield f"{counted(pour.jars, 'jar')} planned for {day(pour.planned_for)}."
        case PourState.RUNNING:
            yield f"{counted(pour.jars, 'jar')}, started {moment(pour.started_at)}{by}."
        case PourState.FINISHED:
            reasons = ", ".join(f"{REASONS.get(key, key)} {jars}" for key, jars in pour.rejects)
            told = f" ({reasons})" if reasons else ""
            yield (
                f"{counted(pour.good or 0, 'good jar')} of {pour.jars} wanted, "
                f"{pour.rejected or 0} rejected{told}, finished {moment(pour.finished_at)}{by}."
            )
            if pour.jar_lot:
                yield f"Lot {pour.jar_lot}, out of cure on {day(pour.ready_on)}."
        case PourState.ABANDONED:
            yield "Given up; nothing left the stores."
    if pour.note:
        yield pour.note


def _need(shown: Shown, need: NeedLots) -> Iterator[tuple[object, ...]]:
    """Yield a need and the lots it takes; past ones are marked, those it does not take too."""
    taken = [choice for choice in need.lots if choice.taken.units]
    head: tuple[object, ...] = (need.need, need.name, shown.amount(need.needed))
    for choice in taken:
        remark = "past its date" if choice.past else ""
        until = day(choice.lot.expires_on)
        yield (*head, choice.lot.code, shown.amount(choice.taken), until, remark)
        head = ("", "", "")
    if not taken:
        yield (*head, "", "", "", "no lot")


def _show_truth(shown: Shown, truth: PourTruth) -> None:
    shown.rows(
        "Materials",
        ("Material", "Planned>", "Used>", "Planned cost>", "True cost>", "From lots"),
        (
            (
                *(one.name, shown.amount(one.planned), shown.amount(one.actual)),
                *(shown.money(one.planned_cost), shown.money(one.actual_cost)),
                ", ".join(lot.lot for lot in one.lots),
            )
            for one in truth.materials
        ),
    )
    shown.rows(
        "Labour",
        ("Step", "Planned>", "Timed>", "Planned cost>", "True cost>"),
        (
            (
                *(one.step, show.duration(Second(one.planned.total_seconds()))),
                "" if one.timed is None else show.duration(Second(one.timed.total_seconds())),
                *(shown.money(one.planned_cost), shown.money(one.actual_cost)),
            )
            for one in truth.labour
        ),
    )
    shown.rows(
        "Cost",
        ("", "Planned>", "True>", "More>"),
        (
            _cost(shown, "Materials", truth.material_cost),
            _cost(shown, "Labour", truth.labour_cost),
            _cost(shown, "Overhead", truth.overhead),
            _cost(shown, "In all", truth.total),
            _cost(shown, "A jar", truth.a_jar),
        ),
    )
    if truth.thrown:
        shown.line(f"Left over and thrown away: {shown.money(truth.thrown)}, in no jar's cost.")
    if truth.unkept:
        shown.line(f"Not kept in stores, so in neither cost: {', '.join(truth.unkept)}.")


def _cost(shown: Shown, name: str, cost: Cost) -> tuple[str, ...]:
    more = "" if cost.more is None else shown.money(cost.more)
    return (name, shown.money(cost.planned), shown.money(cost.actual), more)
