"""What a pour used: what the scale said where it was ticked, the plan otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.pour_views import PourView
from rushlight.workshop.supplies import needs_of, shelf_role, stored_materials

if TYPE_CHECKING:
    from sqlalchemy import Connection


def used(connection: Connection, view: PourView) -> dict[int, int]:
    """Return the milligrams or pieces used, by the workshop's own materials."""
    needs = needs_of(view.document, view.sheets.batch)
    rows = stored_materials(connection, needs)
    more = _off_plan(view)
    found: dict[int, int] = {}
    for need in needs:
        row = rows.get((need.role, need.use))
        if row is None or row["measure"] != need.amount.measure:
            continue
        extra = more.get((need.role, need.name), 0) if row["measure"] == Measure.MASS else 0
        found[row["id"]] = found.get(row["id"], 0) + max(need.amount.units + extra, 0)
    return found


def _off_plan(view: PourView) -> dict[tuple[str, str], int]:
    """Return how far what was weighed lies from the plan [mg], by role and shown name."""
    found: dict[tuple[str, str], int] = {}
    for pot in view.pots:
        for line in pot.lines:
            if line.tick is not None:
                key = (shelf_role(line.role), line.name)
                actual, planned = Amount.of_mass(line.tick.actual), Amount.of_mass(line.planned)
                found[key] = found.get(key, 0) + actual.units - planned.units
    return found
