"""`rushlight value`: what the stores are worth, and what was earned."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from rushlight.workshop.shop import wall_clock

Run = Callable[..., Any]


def test_today_it_is_what_the_lots_bear(run: Run, demo_place: str) -> None:
    """To the last 1/10 000, and the jars beside."""
    where = ("--workshop", demo_place, "--json")
    data = run("value", *where).data
    lots = run("stock", "lots", *where).data["lots"]
    jars = run("stock", "jars", *where).data["lots"]
    by_lot = sum(Decimal(str(lot["value"])) for lot in lots)
    assert Decimal(str(data["materials_value"]["by_lot"])) == by_lot
    assert Decimal(str(data["jars_value"])) == sum(Decimal(str(lot["value"])) for lot in jars)
    assert data["total_value"] == pytest.approx(float(by_lot) + data["jars_value"])
    parts = sum(one["value"]["fifo"] for one in data["materials"])
    assert data["materials_value"]["fifo"] == pytest.approx(parts)


def test_a_lot_of_unknown_cost_is_named_and_left_out(run: Run, workshop_file: Path) -> None:
    """Its cost is not nothing."""
    where = ("--workshop", workshop_file)
    before = run("value", *where, "--json").data["materials_value"]
    line = "Harbour tumbler, 1 x 24"
    made = run("receive", *where, "--supplier", "X", "--line", line, "--json").data
    code = made["lines"][0]["lot"]
    data = run("value", *where, "--json").data
    assert data["materials_value"] == before
    tumbler = next(one for one in data["materials"] if one["material"] == "harbour-tumbler")
    assert tumbler["left_out"] == [{"lot": code, "on_hand_g": None, "on_hand_pieces": 24}]
    said = " ".join(run("value", *where).out.split())
    assert f"Left out: 24 of Harbour tumbler, lot {code}; its cost is not known." in said


def test_a_day_that_is_past(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """Jars poured since are not there; a day that is none is refused."""
    where = ("--workshop", workshop_file)
    day = (wall_clock() - timedelta(days=40)).date().isoformat()
    data = run("value", "--day", day, *where, "--json").data
    assert (data["day"], data["jars"], data["jars_value"]) == (day, [], 0.0)
    assert data["materials_value"]["by_lot"] > 0
    for typed in (("--day", "soon"), ("--from", "2026-01-01"), ("--to", "2026-01-01")):
        ran = run("value", *typed, *where, "--json")
        assert (ran.status, ran.problems[0]["place"]) == (2, typed[0])
    out = tmp_path / "value.csv"
    ran = run("value", *where, "--csv", out)
    assert ran.status == 0, ran.err
    assert f"{out}: written." in " ".join(ran.out.split())
    rows = list(csv.DictReader(io.StringIO(out.read_text("utf-8-sig"))))
    total = sum(Decimal(row["By lot (GBP)"]) for row in rows)
    today = run("value", *where, "--json").data
    assert float(total) == pytest.approx(today["total_value"], abs=1e-9)


def test_what_was_earned_over_a_period(run: Run, demo_place: str, tmp_path: Path) -> None:
    """Profit is price less fees less cost; the groups add up to the total."""
    where = ("--workshop", demo_place)
    first = (wall_clock() - timedelta(days=90)).date().isoformat()
    out = tmp_path / "margins.csv"
    data = run("value", "--margins", "--from", first, "--csv", out, *where, "--json").data
    total = data["total"]
    assert total["jars"] > 0
    assert total["takings"] == pytest.approx(total["price"] - total["fees"])
    assert total["profit"] == pytest.approx(total["takings"] - total["cost"])
    assert total["margin_percent"] == pytest.approx(100 * total["profit"] / total["price"])
    for group in ("lines", "channels", "months"):
        assert sum(one["price"] for one in data[group]) == pytest.approx(total["price"])
        assert sum(one["jars"] for one in data[group]) == total["jars"]
    rows = list(csv.DictReader(io.StringIO(out.read_text("utf-8-sig"))))
    assert sum(float(row["Profit (GBP)"]) for row in rows) == pytest.approx(total["profit"])
    ran = run("value", "--margins", "--from", first, *where)
    assert {"By candle and channel", "By channel", "By month"} <= set(ran.out.splitlines())
    assert "Not sold: 1 jar given away" in ran.out


def test_a_period_that_is_none_is_refused(run: Run, workshop_file: Path) -> None:
    """Ends before it begins, has a day of its own, is no day; an empty one is an answer."""
    where = ("--workshop", workshop_file)
    for typed, place in (
        (("--from", "2026-02-01", "--to", "2026-01-01"), "--from"),
        (("--day", "2026-02-01"), "--day"),
        (("--to", "soon"), "--to"),
    ):
        ran = run("value", "--margins", *typed, *where)
        assert (ran.status, ran.err.startswith(f"{place}: ")) == (2, True)
    ran = run("value", "--margins", "--from", "2001-01-01", "--to", "2001-02-01", *where)
    assert (ran.status, "No jar was sold." in ran.out) == (0, True)
    data = run(
        *("value", "--margins", "--from", "2001-01-01", "--to", "2001-02-01", *where, "--json")
    ).data
    assert (data["total"]["jars"], data["total"]["margin_percent"]) == (0, None)
