"""A vessel's plan as the three-dimensional model takes it."""

from __future__ import annotations

from rushlight.candle.parts import Vessel
from rushlight.candle.plan import PlanShape
from rushlight.heat.box_plan import Plan


def plan_of(vessel: Vessel) -> Plan:
    """Return the plan of a candle's vessel."""
    plan = vessel.plan
    if plan.shape is PlanShape.ROUND:
        return Plan()
    return Plan(breadth=plan.breadth, corner=plan.corner, oval=plan.shape is PlanShape.OVAL)
