"""A recall as JSON: the sums first, then whom to tell and what is still here."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from rushlight.cli import trace_json
from rushlight.cli.stores_json import Json, when

if TYPE_CHECKING:
    from rushlight.workshop.stores.recalling import Recall


def shaped(found: Recall) -> Json:
    """Return a recall as JSON; unknown_buyer_jars: sold, and nobody knows to whom."""
    sums = {f"{f.name}_jars": getattr(found.sum, f.name) for f in fields(found.sum)}
    sums["unknown_buyer_jars"] = sums.pop("unknown_jars")
    return {
        "code": found.code,
        "kind": found.kind,
        "at": when(found.at),
        **sums,
        "running_pours": list(found.running),
        "lots": [trace_json.lot(one) for one in found.lots],
        "uses": [trace_json.use(one) for one in found.uses],
        "pours": [trace_json.pour(one) for one in found.pours],
        "jars": [trace_json.jars(one) for one in found.jars],
        "sales": [trace_json.sale(one) for one in found.sales],
        "packed": [trace_json.packing(one) for one in found.packed],
    }
