"""What a stocktake found different, and where to count on."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from rushlight.web.differing import after, differing, unit_of
from rushlight.workshop import Workshop
from rushlight.workshop.materials import Measure
from rushlight.workshop.stores import stocktakes
from rushlight.workshop.stores.views import CountLine, StocktakeView

COIN = Decimal("0.01")


def counted(shop: Workshop) -> StocktakeView:
    """Return a stocktake of wax and all else in which three lots are counted short."""
    number = stocktakes.begin(shop, {"of": "materials"}).line.id
    lines = stocktakes.get(shop, number).lines
    some = [line for line in lines if line.expected and line.expected.units > 10][:3]
    typed = {f"line.{line.id}": "1" for line in some}
    return stocktakes.enter(shop, number, typed)


def test_what_differs_adds_up_to_what_stands_under_it(workshop: Workshop) -> None:
    """In whole coins, what is worth most first; what was not counted is not in it."""
    view = counted(workshop)
    found = differing(view, COIN)
    assert len(found.lines) == 3
    assert found.rest == 0
    worths = [worth for _, worth in found.lines if worth is not None]
    assert found.total == sum(worths) == view.worth.quantize(COIN)
    assert worths == sorted(worths)  # all are short, so the largest loss stands first


def test_more_lots_than_can_be_read_are_said_in_one_line(workshop: Workshop) -> None:
    """Their worth is still in the total."""
    view = counted(workshop)
    one = next(line for line in view.lines if line.difference is not None)
    many = replace(view, lines=tuple(replace(one, id=n) for n in range(205)))
    found = differing(many, COIN)
    assert len(found.lines) == 200
    assert found.rest == 5
    shown = sum((worth for _, worth in found.lines if worth is not None), Decimal(0))
    assert shown + found.rest_worth == found.total


def test_a_lot_without_a_cost_differs_all_the_same(workshop: Workshop) -> None:
    """Its worth is not known, and not nothing."""
    view = counted(workshop)
    lines = tuple(replace(line, worth=None) for line in view.lines)
    found = differing(replace(view, lines=lines), COIN)
    assert [worth for _, worth in found.lines] == [None, None, None]
    assert found.total == 0


def test_counting_goes_on_where_something_is_left(workshop: Workshop) -> None:
    """It stays until all of a part is counted, then goes on, round to the parts before it."""
    view = counted(workshop)
    done = next(line for line in view.lines if line.counted is not None)
    open_one = next(line for line in view.lines if line.counted is None)

    def parts(kinds: str) -> list[tuple[str, int, list[CountLine]]]:
        return [(str(n), 1, [done if kind == "+" else open_one]) for n, kind in enumerate(kinds)]

    assert after(parts("--"), ("0", 1)) == 0
    assert after(parts("++-"), ("0", 1)) == 2
    assert after(parts("-+"), ("1", 1)) == 0
    assert after(parts("++"), ("1", 1)) == 1
    assert after(parts("+-"), ("nowhere", 9)) == 1


def test_a_bare_number_has_its_unit_beside_it(workshop: Workshop) -> None:
    """Mass in the unit of the workshop; jars are not pieces."""
    line = counted(workshop).lines[0]
    assert unit_of(replace(line, measure=Measure.MASS), "oz") == "oz"
    assert unit_of(replace(line, measure=Measure.PIECES), "g") == "pieces"
    assert unit_of(replace(line, measure=Measure.PIECES, role="jars"), "g") == "jars"
