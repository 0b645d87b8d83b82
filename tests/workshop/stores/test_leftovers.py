from __future__ import annotations

from typing import Any, cast

import pytest

from rushlight.workshop.stores.finish_form import Left
from rushlight.workshop.stores.finishing import _give_back
from rushlight.workshop.stores.ledger import Drawn


class _Told:
    """A deed that only remembers what it was told to move."""

    def __init__(self) -> None:
        self.moved: list[tuple[str, int, int]] = []

    def do(self, _name: str, **args: Any) -> int:
        self.moved.append((args["reason"], args["amount"], args["value"]))
        return 0


# units and cost drawn, units left over -> the cost that goes back: by hand, a half to the even one
@pytest.mark.parametrize(
    ("units", "cost", "left", "back"), [(3, 5, 1, 2), (3, 5, 2, 3), (2, 5, 1, 2), (2, 7, 1, 4)]
)
@pytest.mark.parametrize("scrapped", [False, True])
def test_a_leftover_takes_back_its_part_of_the_cost_to_the_nearest(
    units: int, cost: int, left: int, back: int, *, scrapped: bool
) -> None:
    """Neither cut down nor rounded up; what is thrown away takes out again just what came back."""
    work = _Told()
    rest = _give_back(cast("Any", work), 1, [Drawn(9, units, cost)], Left(left, scrapped))
    assert rest == (Drawn(9, units - left, cost - back),)
    out = [("scrapped", -left, -back)] if scrapped else []
    assert work.moved == [("returned", left, back), *out]
