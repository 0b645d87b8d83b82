"""A vessel that is not round burns by the three-dimensional model."""

from __future__ import annotations

import pytest

from rushlight.candle.plan import PlanShape
from rushlight.heat.box_plan_of import plan_of
from rushlight.workshop import Workshop, candles, heats

pytestmark = pytest.mark.once  # heat is asked of a candle, wherever it is kept


def crate(shop: Workshop, **vessel: str) -> heats.BurnQuestion:
    """Ask how the Slipway would burn in another vessel."""
    document = candles.get(shop, "slipway").document
    typed = {"height": "80 mm", "diameter": "70 mm", **vessel}
    jar = heats.jar_of(shop, {**document, "vessel": typed})
    return heats.burn_asked(jar, {}, room=293.15)


def test_a_square_vessel_is_asked_of_the_model_that_knows_its_plan(workshop: Workshop) -> None:
    """One wick in the middle, the plan's own proportions."""
    question = crate(workshop, plan="square", corner="7 mm")
    assert len(question.places) == 1
    plan = plan_of(question.jar.candle.vessel)
    assert (plan.breadth, plan.oval) == (1.0, False)
    assert plan.corner == pytest.approx(0.2)


def test_a_round_vessel_keeps_the_finer_model(workshop: Workshop) -> None:
    """No places: the axisymmetric one."""
    question = crate(workshop)
    assert question.jar.candle.vessel.plan.shape is PlanShape.ROUND
    assert question.places == ()
