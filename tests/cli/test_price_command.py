"""`rushlight price`: what a jar costs and what to charge."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_the_parts_that_are_shown_add_up_to_the_cost_that_is_shown(run: Run, candle: Path) -> None:
    """To the penny."""
    out = run("price", candle).out
    amounts = dict(re.findall(r"^(\w[\w ]*?) +£([\d.]+) *$", out, re.MULTILINE))
    total = Decimal(amounts.pop("cost of a jar"))
    assert set(amounts) == {"materials", "packaging", "scrap", "labour", "overhead"}
    assert sum(map(Decimal, amounts.values())) == total


def test_json_tells_cost_prices_and_what_moves_them(run: Run, candle: Path) -> None:
    """The price meets its margin; wholesale is half the retail price, as the file says."""
    data = run("price", candle, "--json").data
    cost = data["cost"]
    parts = ("materials", "packaging", "scrap", "labour", "overhead")
    assert sum(cost[part] for part in parts) == pytest.approx(cost["total"], abs=0.0005)
    direct, stall, wholesale = data["channels"]
    assert direct["margin_percent"] == pytest.approx(55, abs=0.1)
    assert stall["price"] > direct["price"]
    assert wholesale["retail_price"] == pytest.approx(2 * wholesale["price"])
    assert direct["profit"] == pytest.approx(direct["price"] - cost["total"], abs=0.0005)
    # 40 min a batch of 13 jars and 3 min a jar, 15.00 an hour
    assert cost["labour_min"] == pytest.approx(40 / 13 + 3)
    assert cost["labour"] == pytest.approx((40 / 13 + 3) * 15 / 60, abs=1e-4)
    swings = [
        max(
            abs(effect["price_10_percent_less"] - direct["exact_price"]),
            abs(effect["price_10_percent_more"] - direct["exact_price"]),
        )
        for effect in data["sensitivity"]
    ]
    assert swings == sorted(swings, reverse=True)


def test_a_price_is_rounded_up_so_that_the_margin_is_kept(run: Run, candle: Path) -> None:
    """To the next coin, never down."""
    for channel in run("price", candle, "--json").data["channels"]:
        assert 0 <= channel["price"] - channel["exact_price"] <= 0.01


def test_the_currency_is_that_asked_for(run: Run, candle: Path) -> None:
    """Sums typed without a sign are taken in it."""
    assert run("price", candle, "--currency", "eur", "--json").data["currency"] == "EUR"
    assert "€" in run("price", candle, "--currency", "EUR").out
    assert run("price", candle, "--currency", "doubloon").status == 2


def test_a_sum_in_another_currency_is_refused(run: Run, candle: Path) -> None:
    """Nothing is converted."""
    candle.write_text(candle.read_text("utf-8").replace('"62.00"', '"$62.00"'), "utf-8")
    problems = run("price", candle, "--json").problems
    assert [problem["place"] for problem in problems] == ["price.materials.0.price"]


def test_a_file_without_prices_says_what_to_add(run: Run, candle: Path) -> None:
    """And where an example is."""
    text = candle.read_text("utf-8")
    candle.write_text(text[: text.index("[price]")], "utf-8")
    ran = run("price", candle)
    assert ran.status == 2
    assert ran.err.startswith("price: This candle file has no prices.")


def test_what_has_no_price_is_said(run: Run, candle: Path) -> None:
    """It counts as nothing, so the cost is too low."""
    text = candle.read_text("utf-8")
    lines = '[[price.materials]]\nof = "wick"\npack = "100"\nprice = "9.50"\n'
    assert lines in text
    candle.write_text(text.replace(lines, ""), "utf-8")
    assert run("price", candle, "--json").data["unpriced"] == ["cotton flat"]
    assert "counted as nothing: cotton flat" in run("price", candle).out


def test_a_channel_that_can_have_no_price_says_why(run: Run, candle: Path) -> None:
    """A margin of 55 % and fees of 60 % leave nothing; the other channels still stand."""
    extra = '\n[[price.channels]]\nkind = "consignment"\npercent = "60 %"\n'
    candle.write_text(candle.read_text("utf-8") + extra, "utf-8")
    last = run("price", candle, "--json").data["channels"][-1]
    assert last["price"] is None
    assert "leave nothing" in last["problem"]
    assert run("price", candle).status == 0


def test_the_prices_of_a_workshop_are_its_own(run: Run, workshop_file: Path) -> None:
    """In its currency, through its channels."""
    from rushlight.workshop import candles, prices, settings
    from rushlight.workshop.opening import open_workshop

    shop = open_workshop(workshop_file)
    line = candles.listing(shop)[0]
    total = prices.jar_cost(shop, line.slug).cost.total
    currency = settings.current(shop).preference.currency
    shop.close()
    data = run("price", line.name, "--workshop", workshop_file, "--json").data
    assert data["currency"] == currency
    assert data["cost"]["total"] == pytest.approx(float(total), abs=0.0001)
    assert data["channels"]
    assert run("price", line.name, "--workshop", workshop_file).status == 0
