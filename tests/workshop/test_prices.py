from __future__ import annotations

from decimal import Decimal

import pytest

from rushlight.errors import BadInput, NotFound
from rushlight.workshop import Workshop, candles, materials, prices, settings, undo

PLAIN = {
    "name": "Oar",
    "vessel": {"use": "straight tumbler"},
    "fill": {"net": "200 g"},
    "wax": {"use": "Test soy"},
    "wick": {"use": "cotton flat"},
}


def _priced(shop: Workshop) -> None:
    slug = materials.save(
        shop, None, {"role": "wax", "name": "Test soy", "kind": "soy container"}
    ).slug
    materials.save_price(shop, slug, {"supplier": "Nobody", "pack": "10 kg", "price": "50.00"})
    materials.save_price(
        shop, slug, {"supplier": "Nobody", "pack": "10 kg", "price": "40.00", "from_packs": "2"}
    )
    plain = {"residue": "0 g", "spill": "0 %", "scrap": "0 %", "overhead": "0", "labour_rate": "0"}
    settings.change(shop, plain)


def test_the_cost_of_a_jar_is_reckoned_from_the_packs_a_batch_needs(empty: Workshop) -> None:
    """Worked by hand: 200 g at 5.00/kg is 1.00; a batch of 100 needs two packs at 4.00/kg: 0.80."""
    _priced(empty)
    one = prices.jar_cost(empty, None, document=PLAIN, batch={"jars": "1"})
    many = prices.jar_cost(empty, None, document=PLAIN, batch={"jars": "100"})
    assert one.cost.total == Decimal("1.00")
    assert many.cost.total == Decimal("0.80")
    assert set(one.missing) == {"straight tumbler", "cotton flat"}


def test_labour_overhead_scrap_and_packaging_are_added(empty: Workshop) -> None:
    """Worked by hand, for a batch of ten at 12.00 an hour.

    60 min a batch and 3 min a jar: 9 min a jar, 1.80. Wax 1.00. A fifth rejected:
    (1.00 + 1.80) x 0.2/0.8 = 0.70. Overhead 100 over 50 jars: 2.00. Two lids at 0.25:
    0.50. In all 6.00.
    """
    _priced(empty)
    slug = materials.save(empty, None, {"role": "packaging", "name": "Lid"}).slug
    materials.save_price(empty, slug, {"supplier": "Nobody", "pack": "4", "price": "1.00"})
    typed = {f"labour.{i}.{key}": "" for i in range(2, 4) for key in ("step", "time")}
    typed |= {"labour.0.time": "60 min", "labour.1.time": "3 min", "labour.1.per": "jar"}
    typed |= {"packaging.0.use": "Lid", "packaging.0.pieces": "2", "labour_rate": "12"}
    settings.change(empty, {**typed, "overhead": "100", "jars_per_month": "50", "scrap": "20 %"})
    cost = prices.jar_cost(empty, None, document=PLAIN, batch={"jars": "10"}).cost
    assert (cost.material, cost.labour.cost, cost.scrap, cost.overhead, cost.packing) == (
        Decimal("1.00"),
        Decimal("1.80"),
        Decimal("0.70"),
        Decimal("2.00"),
        Decimal("0.50"),
    )
    assert cost.total == Decimal("6.00")


def test_prices_follow_from_aims_and_wholesale_from_the_first(shop: Workshop) -> None:
    """A margin is met or passed by rounding up; wholesale is half of the first retail price."""
    table = prices.price_table(shop, "slipway")
    rows = {row.channel.kind: row for row in table.rows}
    direct, wholesale = rows["direct"].asked, rows["wholesale"].asked
    assert direct is not None
    assert wholesale is not None
    assert direct.margin >= Decimal("0.55")
    assert direct.price % Decimal("0.50") == 0
    assert wholesale.price == direct.price / 2
    even = rows["direct"].break_even
    assert even is not None
    assert even.jars is not None
    assert even.profit_at(Decimal(even.jars)) >= 0 > even.profit_at(Decimal(even.jars - 1))
    assert table.cost.missing == ()


def test_the_title_block_agrees_with_the_table(shop: Workshop) -> None:
    """The quick figures are those of the first channel."""
    document = candles.get(shop, "slipway").document
    quick = prices.quick(shop, candles.sheet(shop, document), document)
    table = prices.price_table(shop, "slipway")
    first = table.rows[0].asked
    assert first is not None
    assert (quick.cost, quick.retail) == (table.cost.cost.total, first.retail)


def test_what_moves_the_price_most_comes_first(shop: Workshop) -> None:
    """Swings fall; an unknown channel is not found."""
    slug = prices.channels(shop)[0].slug
    swings = [effect.swing for effect in prices.sensitivity(shop, "slipway", slug)]
    assert swings == sorted(swings, reverse=True)
    assert len(swings) > 8
    with pytest.raises(NotFound):
        prices.sensitivity(shop, "slipway", "the moon")


def test_a_channel_is_kept_as_typed_and_every_problem_is_said(empty: Workshop) -> None:
    """Fields of other kinds are passed over; wrong ones are said in place."""
    typed = {"name": "Fair", "kind": "market stall", "day": "£30", "jars_a_day": "20"}
    view = prices.save_channel(empty, None, {**typed, "of_retail": "50 %"})
    assert (view.slug, view.typed["day"], view.channel.fixed) == ("fair", "£30", Decimal("1.5"))
    with pytest.raises(BadInput) as caught:
        prices.save_channel(empty, "fair", {"name": "", "day": "8 oz", "target": "120 %"})
    assert {problem.place for problem in caught.value.problems} == {"name", "day", "target"}
    prices.drop_channel(empty, "fair")
    assert prices.channels(empty) == ()
    done = undo.latest(empty, "channel:fair")
    assert done is not None
    undo.undo(empty, done.id)
    assert prices.channels(empty)[0].name == "Fair"


def test_a_channel_without_a_price_to_follow_says_so(empty: Workshop) -> None:
    """Wholesale alone has no retail price; the row is there, with its reason."""
    _priced(empty)
    prices.save_channel(empty, None, {"name": "Shops", "kind": "wholesale"})
    row = prices.price_table(empty, None, document=PLAIN).rows[0]
    assert row.asked is None
    assert "no retail price" in row.problem
