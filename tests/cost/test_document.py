"""The `[price]` table: read as documented, problems at their places."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost import document
from rushlight.cost.aim import AimFor
from rushlight.cost.amounts import Amount
from rushlight.cost.channel import Kind
from rushlight.cost.document import prices, read
from rushlight.cost.labour import Per
from rushlight.errors import BadInput, Problem

D = Decimal
SHEET = {
    "wax": Amount(D("0.17"), "kg"),
    "soy container": Amount(D("0.17"), "kg"),
    "vessel": Amount(D(1), "piece"),
}
SHEET["soy container"] = SHEET["wax"]  # one material under two names


def documented() -> dict[str, Any]:
    """Return the example of the module's own documentation."""
    example = (document.__doc__ or "").split("```toml")[1].split("```")[0]
    table: dict[str, Any] = tomllib.loads(example)["price"]
    return table


def problems(table: Any, **options: Any) -> dict[str, str]:
    """Return the problems of a table by place."""
    with pytest.raises(BadInput) as caught:
        read(table, **options)
    assert all(problem.what and problem.remedy for problem in caught.value.problems)
    return {problem.place: f"{problem.what} {problem.remedy}" for problem in caught.value.problems}


def test_the_documented_example_is_read_as_documented() -> None:
    """Every field of the example in the documentation arrives where it belongs."""
    pricing = read(documented(), amounts=SHEET)
    costing = pricing.costing
    wax, box = costing.materials[0], costing.packaging[0]
    assert (wax.name, wax.amount, wax.unit) == ("wax", D("0.17"), "kg")
    assert wax.unit_cost == D("6.6")  # (62 + 4) / 10 kg, two packs: the first tier
    assert box.cost == D("0.42")
    assert (costing.jars, costing.scrap, costing.rate) == (12, D("0.04"), D("15.00"))
    assert costing.steps[0].per is Per.BATCH
    assert costing.steps[0].minutes == 40
    assert costing.overhead.of_a_jar() == D("0.70")
    channel, aim = pricing.channels[0]
    assert channel.kind is Kind.STALL
    assert channel.fixed == D("1.8")
    assert (aim.at, aim.amount) == (AimFor.MARGIN, D("0.5"))
    assert pricing.unpriced == ("vessel",)


def test_prices_follow_by_hand() -> None:
    """Wax 0.17·6.60 = 1.122, labour 40/12 min at 15/h = 0.8333…, scrap 4 %, box 0.42, 0.70.

    Total (1.122 + 0.83333)/0.96 + 0.42 + 0.70 = 3.15680…; the stall at 50 %:
    (3.15680 + 1.80)/0.5 = 9.9136….
    """
    cost, (stall,) = prices(read(documented(), amounts=SHEET))
    assert cost.total == pytest.approx(D("3.1568055556"))
    assert stall.price == pytest.approx(D("9.9136111111"))


def test_a_tier_is_reached_by_the_packs_bought_together() -> None:
    """Five packs at 57 and 4 of delivery: 6.10 a kilogram."""
    table = documented()
    table["materials"][0]["packs"] = "5"
    assert read(table, amounts=SHEET).costing.materials[0].unit_cost == D("6.1")


def test_an_empty_table_is_a_direct_sale_of_nothing_at_half() -> None:
    """Every field has a default but the names and packs of lines."""
    pricing = read({}, jars=24)
    assert pricing.costing.jars == 24
    channel, aim = pricing.channels[0]
    assert channel.kind is Kind.DIRECT
    assert aim.amount == D("0.5")


def test_amounts_may_be_typed_and_measured_by_mass_volume_or_piece() -> None:
    """The pack and the jar's amount in like units, whatever they are."""
    lines = [
        {"of": "oil", "pack": "1 lb", "price": "20", "amount": "8 oz"},
        {"of": "varnish", "pack": "500 ml", "price": "10", "amount": "5 ml"},
        {"of": "wick", "pack": "100 pieces", "price": "9", "amount": "2"},
    ]
    uses = read({"materials": lines}).costing.materials
    assert [use.unit for use in uses] == ["kg", "l", "piece"]
    assert [use.cost for use in uses] == pytest.approx([D(10), D("0.1"), D("0.18")])


@pytest.mark.parametrize(
    ("kind", "fields", "takings"),
    [
        ("direct", {}, "10"),
        ("own web shop", {"percent": "1.5 %", "fixed": "0.20"}, "9.65"),
        ("marketplace", {"listing": "0.16", "percent": "10 %", "fixed": "0.20"}, "8.64"),
        ("wholesale", {"of_retail": "50 %", "minimum_order": "60"}, "10"),
        ("consignment", {"percent": "40 %"}, "6"),
    ],
)
def test_every_kind_of_channel_can_be_typed(
    kind: str, fields: dict[str, str], takings: str
) -> None:
    """Each kind with its own fields, priced at 10."""
    table = {"channels": [{"kind": kind, "price": "10.00", **fields}]}
    _, (priced,) = prices(read(table))
    assert priced.takings == D(takings)


def test_every_aim_can_be_typed() -> None:
    """Margin, markup, profit and price on a jar that costs 4."""
    jar = [{"of": "all", "pack": "1", "price": "4.00"}]
    for aim, price in (
        ({"margin": "60 %"}, 10),
        ({"markup": "150 %"}, 10),
        ({"profit": "6.00"}, 10),
        ({"price": "12.50"}, D("12.5")),
    ):
        _, (priced,) = prices(read({"materials": jar, **aim}))
        assert priced.price == price


def test_every_problem_is_collected_at_its_place() -> None:
    """A table with something wrong nearly everywhere names all of it."""
    table = {
        "margin": "120 %",
        "markup": "50 %",
        "scrap": "100 %",
        "rate": "-15",
        "overhead": "120",
        "marginn": "1 %",
        "materials": [
            {"of": "wax", "pack": "10 kg"},
            {"of": "vessel", "pack": "2 kg", "price": "4"},
            {"of": "unicorn", "pack": "1", "price": "1"},
            {"pack": "0", "price": "x"},
            "text",
        ],
        "labour": [{"step": "pour", "time": "long", "per": "week"}, {"step": "label"}],
        "channels": [
            {"kind": "carrier pigeon"},
            {"kind": "direct", "day": "45"},
            {"kind": "market stall", "day": "45", "jars_a_day": "0"},
            {"kind": "wholesale"},
            {"kind": "consignment", "percent": "130 %"},
        ],
    }
    found = problems(table, amounts=SHEET)
    assert set(found) == {
        "price.margin",
        "price.markup",
        "price.scrap",
        "price.rate",
        "price.jars_per_month",
        "price.marginn",
        "price.materials.0.price",
        "price.materials.1.pack",
        "price.materials.2.of",
        "price.materials.3.of",
        "price.materials.3.pack",
        "price.materials.3.price",
        "price.materials.4",
        "price.labour.0.time",
        "price.labour.0.per",
        "price.labour.1.time",
        "price.channels.0.kind",
        "price.channels.1.day",
        "price.channels.2.jars_a_day",
        "price.channels.3.of_retail",
        "price.channels.4.percent",
    }
    assert "margin" in found["price.marginn"]


def test_a_price_that_cannot_be_is_named_at_its_channel() -> None:
    """40 % of commission and 60 % of margin leave nothing."""
    table = {"channels": [{"kind": "consignment", "percent": "40 %", "margin": "60 %"}]}
    pricing = read({"materials": [{"of": "a", "pack": "1", "price": "4"}], **table})
    with pytest.raises(BadInput) as caught:
        prices(pricing)
    assert [p.place for p in caught.value.problems] == ["price.channels.0.margin"]


def test_a_jar_that_costs_nothing_yet_is_told_so() -> None:
    """A margin of nothing is no price; it says what is missing."""
    with pytest.raises(BadInput, match="costs anything yet") as caught:
        prices(read({}))
    assert [p.place for p in caught.value.problems] == ["price"]


def test_money_of_another_currency_is_refused() -> None:
    """There is no exchange rate here."""
    assert set(problems({"rate": "€15"}, currency="GBP")) == {"price.rate"}


def test_what_is_no_table_is_refused() -> None:
    """A text where the table should be."""
    assert set(problems("cheap")) == {"price"}


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                ["of", "pack", "price", "amount", "kind", "time", "per", "tiers", "percent", "x"]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=8,
)
KEYS = st.sampled_from([*document._KEYS, "nonsense"])


@given(st.dictionaries(KEYS, JSON, max_size=5))
def test_whatever_is_typed_is_read_or_refused_with_places(table: dict[str, Any]) -> None:
    """No text, number or shape does anything but give a pricing or a BadInput with remedies."""
    found: tuple[Problem, ...] = ()
    total = D(0)
    try:
        total = prices(read(table, amounts=SHEET))[0].total
    except BadInput as bad:
        found = bad.problems
    assert total >= 0
    assert total > 0 or found or "price" in table or "profit" in table
    assert all(p.place.startswith("price") and p.what and p.remedy for p in found)
