"""What a pour used: what the scale said where it was ticked, the plan otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.quantity.si import Kilogram
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.pour_views import PourView
from rushlight.workshop.supplies import needs_of, shelf_role, stored_materials, taken

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
    """Return how far what was weighed lies from what was to be taken [mg], by role and shown name.

    What was ticked as it stands on the sheet was taken as planned, also where the sheet rounds.
    """
    found: dict[tuple[str, str], int] = {}
    batch = view.sheets.batch
    for pot in view.pots:
        for line, sheet in zip(pot.lines, batch.lines, strict=True):
            if line.tick is not None and line.tick.actual != line.planned:
                key = (shelf_role(line.role), line.name)
                planned = Amount.of_mass(Kilogram(taken(sheet) / batch.pots))
                actual = Amount.of_mass(line.tick.actual)
                found[key] = found.get(key, 0) + actual.units - planned.units
    return found
