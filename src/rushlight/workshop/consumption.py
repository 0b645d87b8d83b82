"""What a pour used: what the scale said where it was ticked, the plan otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.pour_views import PourView
from rushlight.workshop.supplies import needs_of, shelf_role, stored_materials

if TYPE_CHECKING:
    from sqlalchemy import Connection


def used(connection: Connection, view: PourView) -> dict[int, int]:
    """Return the milligrams or pieces used, by the workshop's own materials.

    A material is the one that was planned, whatever it is called by now; one that was not kept
    then counts where it has been added since under the name the sheet uses.
    """
    from rushlight.store.queries.pouring import kept_needs

    needs = needs_of(view.document, view.sheets.batch)
    planned = {
        (row["role"], row["name"], row["measure"]): int(row["material_id"])
        for row in kept_needs(connection, view.id)
    }
    since = stored_materials(connection, needs)
    more = _off_plan(view)
    found: dict[int, int] = {}
    for need in needs:
        measure = need.amount.measure
        owner = planned.get((need.role, need.use, measure))
        if owner is None:
            row = since.get((need.role, need.use))
            if row is None or row["measure"] != measure:
                continue
            owner = int(row["id"])
        extra = more.get((need.role, need.name), 0) if measure is Measure.MASS else 0
        found[owner] = found.get(owner, 0) + max(need.amount.units + extra, 0)
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
