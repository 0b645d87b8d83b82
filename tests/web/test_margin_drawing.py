"""Margins and prices as drawn: lengths in proportion, losses to the left, nothing made up."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.quantity.show import METRIC, Preference
from rushlight.web.drawing import margins as drawing
from rushlight.web.drawing import price_line as prices
from rushlight.web.drawing.margins import MOST, Sold, margins
from rushlight.web.drawing.price_line import Paid, SupplierLine, price_line

SCRIPT = '"><script>alert(1)</script>'
TODAY = dt.date(2026, 6, 1)


def sold(price: str, fees: str, cost: str | None, candle: str = "Slipway") -> Sold:
    """Return a row."""
    known = None if cost is None else Decimal(cost)
    return Sold(candle=candle, channel="stall", jars=4, price=Decimal(price),
                fees=Decimal(fees), cost=known)  # fmt: skip


def bars(*rows: Sold) -> list[tuple[str, float, float]]:
    """Return the stretches of the bars as drawn: class, left, right."""
    root = ET.fromstring(str(margins(rows, METRIC)))  # noqa: S314 - our own drawing
    return [
        (r.attrib["class"], float(r.attrib["x"]), float(r.attrib["x"]) + float(r.attrib["width"]))
        for group in root.iter("g")
        for r in group.iter("rect")
    ]


def test_the_price_is_split_into_margin_cost_and_fees_without_a_gap() -> None:
    """100 paid, 10 in fees, 30 of cost: 60 kept; each as long as its share."""
    found = {kind: (left, right) for kind, left, right in bars(sold("100", "10", "30"))}
    assert set(found) == {"k-margin", "k-cost", "k-fees"}
    scale = (found["k-fees"][1] - found["k-margin"][0]) / 100
    lengths = {kind: (right - left) / scale for kind, (left, right) in found.items()}
    assert lengths == pytest.approx({"k-margin": 60, "k-cost": 30, "k-fees": 10}, abs=0.01)
    assert found["k-margin"][1] == pytest.approx(found["k-cost"][0], abs=0.02)
    assert found["k-cost"][1] == pytest.approx(found["k-fees"][0], abs=0.02)


def test_a_loss_stands_to_the_left_of_nought_and_is_said() -> None:
    """50 paid, 10 in fees, 60 of cost: 20 lost, and 40 of the cost covered."""
    found = {kind: (left, right) for kind, left, right in bars(sold("50", "10", "60"))}
    scale = (found["k-fees"][1] - found["k-not-covered"][0]) / 70
    nought = found["k-not-covered"][1]
    assert (nought - found["k-not-covered"][0]) / scale == pytest.approx(20, abs=0.02)
    assert found["k-cost"][0] == pytest.approx(nought, abs=0.02)
    assert (found["k-cost"][1] - nought) / scale == pytest.approx(40, abs=0.02)
    assert "£20.00 lost" in str(margins([sold("50", "10", "60")], METRIC))


def test_a_cost_that_is_not_known_is_not_drawn_as_nought() -> None:
    """What was paid, in an open outline, and the words."""
    drawn = str(margins([sold("50", "10", None)], METRIC))
    assert [kind for kind, *_ in bars(sold("50", "10", None))] == ["k-unknown"]
    assert "cost not known" in drawn
    assert "100 %" not in drawn


def test_the_share_kept_is_of_what_was_paid() -> None:
    """Of 80, 20 is a quarter; of nothing, no share is said."""
    assert sold("80", "0", "60").share == Decimal("0.25")
    assert sold("0", "0", "5").share is None
    assert ", 25 %" in str(margins([sold("80", "0", "60")], METRIC))


money = st.decimals(-10_000, 100_000, places=2)


@given(
    st.lists(
        st.builds(
            Sold,
            candle=st.text(max_size=60) | st.just(SCRIPT),
            channel=st.text(max_size=20),
            jars=st.integers(0, 99),
            price=money,
            fees=money,
            cost=money | st.none(),
        ),
        max_size=30,
    ),
    st.sampled_from([METRIC, Preference(currency="EUR", decimal=",")]),
)
def test_any_rows_stay_on_their_sheet(rows: list[Sold], pref: Preference) -> None:
    """Refunds, nothing sold, long names: well formed and within."""
    drawn = str(margins(rows, pref))
    if not rows:
        assert not drawn
        return
    root = ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert "<script" not in drawn
    assert "style=" not in drawn
    for rect in root.iter("rect"):
        left, wide = float(rect.attrib["x"]), float(rect.attrib["width"])
        assert -0.01 <= left <= left + wide <= drawing.WIDTH + 0.02
    assert ("more: see the table" in drawn) == (len(rows) > MOST)


def test_more_rows_than_can_be_read_are_said() -> None:
    """The table has them all."""
    drawn = str(margins([sold("10", "1", "2")] * (MOST + 7), METRIC))
    assert "and 7 more: see the table" in drawn


def paid(day: str, price: str) -> Paid:
    """Return a price on a day."""
    return Paid(dt.date.fromisoformat(day), Decimal(price))


def test_a_price_holds_until_the_next_and_the_last_until_the_day_asked() -> None:
    """A step up in the middle of a year: level, upright, level."""
    one = SupplierLine(name="Ropewalk", asked=(paid("2025-06-01", "4"), paid("2025-12-01", "5")))
    drawn = str(price_line([one], METRIC, unit="£ a kg", until=TODAY))
    steps = re.search(r'd="(M[^"]+)" class="g-line main"', drawn)
    assert steps
    points = [tuple(map(float, p)) for p in re.findall(r"(-?[\d.]+) (-?[\d.]+)", steps[1])]
    assert len(points) == 4
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = points
    assert (y1, y3) == (y2, y4)
    assert x2 == x3
    assert y3 < y1  # dearer is higher
    # days from the first price: 183 of 365
    assert (x2 - x1) / (x4 - x1) == pytest.approx(183 / 365, abs=1e-3)


def test_a_landed_cost_is_a_dot_over_its_day_on_the_same_scale() -> None:
    """4.00 asked and 4.00 paid stand at one height."""
    one = SupplierLine(name="R", asked=(paid("2026-01-01", "4"), paid("2026-04-01", "6")),
                       landed=(paid("2026-02-01", "4"), paid("2026-03-01", "5")))  # fmt: skip
    root = ET.fromstring(str(price_line([one], METRIC, unit="£ a kg", until=TODAY)))  # noqa: S314
    dots = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter("circle")]
    steps = next(p.attrib["d"] for p in root.iter("path") if p.attrib["class"] == "g-line main")
    first = [float(n) for n in re.findall(r"-?[\d.]+", steps)[:2]]
    assert dots[0][1] == pytest.approx(first[1], abs=0.02)
    assert dots[1][0] > dots[0][0] > first[0]
    assert dots[1][1] < dots[0][1]
    titles = [t.text for t in root.iter("title")]
    assert "R, 2026-02-01: £4.00" in titles


day = st.dates(dt.date(1, 1, 1), dt.date(9999, 12, 31))
prices_paid = st.lists(st.builds(Paid, day, st.decimals(0, 100_000, places=4)), max_size=5).map(
    tuple
)


@given(
    st.lists(
        st.builds(SupplierLine, name=st.text(max_size=40) | st.just(SCRIPT), asked=prices_paid,
                  landed=prices_paid),
        max_size=8,
    ),
    day,
)  # fmt: skip
def test_any_history_stays_on_its_sheet(suppliers: list[SupplierLine], until: dt.date) -> None:
    """Any days, any prices, none."""
    drawn = str(price_line(suppliers, METRIC, unit="£ a kg", until=until))
    if not drawn:
        assert not any(one.asked or one.landed for one in suppliers)
        return
    root = ET.fromstring(drawn)  # noqa: S314 - our own drawing
    assert "<script" not in drawn
    assert "nan" not in re.sub(r">[^<]*<", "><", drawn)
    for line in root.iter("path"):
        for x, y in re.findall(r"(-?\d+\.\d+) (-?\d+\.\d+)", line.attrib["d"]):
            assert 0 <= float(x) <= prices.WIDTH
            assert 0 <= float(y) <= prices.HEIGHT
    known = sum(1 for one in suppliers if one.asked or one.landed)
    assert (f"{known - prices.MOST} more in the table" in drawn) == (known > prices.MOST)


@pytest.mark.parametrize(
    ("first", "said"),
    [
        (dt.date(2026, 5, 2), ["2 May", "17 May", "1 Jun"]),
        (dt.date(2025, 6, 15), ["Sep 2025", "Jan 2026", "May 2026"]),
        (dt.date(2020, 6, 15), ["2022", "2024", "2026"]),
    ],
)
def test_the_dates_along_the_foot_are_round(first: dt.date, said: list[str]) -> None:
    """Days, firsts of months, or years, as the time is long."""
    found = prices._dates(first.toordinal(), TODAY.toordinal())
    assert [words for _, words in found] == said
