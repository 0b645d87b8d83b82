from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rushlight import demo
from rushlight.candle.sheet import Weight
from rushlight.demo.large import Size
from rushlight.errors import Refused
from rushlight.hazard.certificate import Standing
from rushlight.workshop import (
    Workshop,
    candles,
    hazards,
    materials,
    netweights,
    pours,
    prices,
    settings,
    today,
)
from rushlight.workshop.opening import open_workshop
from rushlight.workshop.pours import PourState

NOW = datetime(2026, 5, 12, 10, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a demonstration that nobody writes to."""
    path = tmp_path_factory.mktemp("demo") / "d.rushlight"
    demo.build(path, clock=_at(NOW)).close()
    return path


@pytest.fixture
def shop(built: Path) -> Iterator[Workshop]:
    """Return the demonstration, open."""
    opened = open_workshop(built, clock=_at(NOW))
    yield opened
    opened.close()


def _at(now: datetime) -> Callable[[], datetime]:
    return lambda: now


def test_the_demonstration_holds_what_it_promises(shop: Workshop) -> None:
    """Candles over different vessels and waxes, materials with facts, pours in every state."""
    assert settings.current(shop).demo
    assert len(candles.listing(shop)) >= 6
    assert len(materials.listing(shop)) >= 25
    documents = [candles.get(shop, line.slug).document for line in candles.listing(shop)]
    assert len({document["vessel"]["use"] for document in documents}) >= 4
    assert len({document["wax"]["use"] for document in documents}) >= 3
    states = {line.state for line in pours.listing(shop)}
    assert {PourState.PLANNED, PourState.RUNNING, PourState.FINISHED} <= states
    assert len({channel.kind for channel in prices.channels(shop)}) == 6
    day = today.today(shop)
    assert day.running
    assert day.curing
    assert day.short


def test_every_candle_reads_and_costs_with_nothing_missing(shop: Workshop) -> None:
    """Every material has a price, and no candle is one that must not be poured."""
    for line in candles.listing(shop):
        document = candles.get(shop, line.slug).document
        sheets = candles.sheet(shop, document)
        assert prices.quick(shop, sheets, document).missing == ()
        assert all(supply.slug for supply in sheets.supplies)
        assert Weight.STOP not in {caution.weight for caution in sheets.jar.cautions}


def test_its_sheets_are_read_and_its_certificates_have_every_state(shop: Workshop) -> None:
    """Nothing invented is broken: every sheet parses, and one oil has none, as happens."""
    lines = hazards.listing(shop)
    oils = [line for line in lines if line.role == "fragrance"]
    assert {line.standing for line in oils} == set(Standing)
    assert sum(line.components is None for line in oils) == 1
    assert all(hazards.sheet(shop, line.material).problems == () for line in lines)
    assert all(
        "nvented" in hazards.sheet(shop, line.material).typed.get("note", "invented")
        for line in lines
    )


def test_every_candle_is_reviewed_and_no_oil_it_uses_is_forbidden(shop: Workshop) -> None:
    """They differ: some are classified, some only mention a sensitiser, one says nothing."""
    said = set()
    for line in candles.listing(shop):
        found = hazards.review(shop, line.slug)
        assert not found.use_limit.over
        assert Weight.STOP not in {caution.weight for caution in found.cautions}
        said.add((bool(found.label.hazards), bool(found.label.supplemental)))
    assert said == {(True, False), (True, True), (False, True), (False, False)}


def test_its_weighed_lots_pass_and_fail(shop: Workshop) -> None:
    """One of each by the European test."""
    verdicts = [lot.verdict.eu for lot in netweights.lots(shop)]
    assert {found.passes for found in verdicts if found is not None} == {True, False}


def test_nothing_in_stock_is_below_zero(built: Path) -> None:
    """After all its pours; and every entry adds up, by SQL on the file itself."""
    raw = sqlite3.connect(built)
    sums = raw.execute("SELECT sum(amount) FROM movement GROUP BY material_id").fetchall()
    wrong = raw.execute("SELECT count(*) FROM movement WHERE reason = 'counted'").fetchone()
    raw.close()
    assert len(sums) >= 25
    assert min(total for (total,) in sums) >= 0
    assert wrong == (0,)


def test_the_running_pour_can_be_forecast(shop: Workshop) -> None:
    """Its readings give a window on the clock."""
    found = pours.forecast(shop, today.today(shop).running[0].id, 1)
    assert found is not None
    assert found.opens is not None
    assert found.forecast.used == 3


def test_it_is_the_same_each_time(built: Path, tmp_path: Path) -> None:
    """Two files of one moment hold the same rows, times included."""
    again = tmp_path / "again.rushlight"
    demo.build(again, clock=_at(NOW)).close()
    dumps = []
    for path in (built, again):
        raw = sqlite3.connect(path)
        dumps.append(list(raw.iterdump()))
        raw.close()
    assert len(dumps[0]) > 500
    assert dumps[0] == dumps[1]


@pytest.mark.parametrize(
    "now", [NOW.replace(hour=0, minute=5), datetime(2028, 2, 29, 23, 59, tzinfo=UTC)]
)
def test_it_can_be_built_at_any_time_of_any_day(tmp_path: Path, now: datetime) -> None:
    """Also just after midnight, when the running pour began yesterday."""
    shop = demo.build(tmp_path / "d.rushlight", clock=_at(now))
    running = today.today(shop).running[0]
    assert running.started_at is not None
    assert timedelta(0) < now - running.started_at < timedelta(hours=1)
    shop.close()


def test_it_never_takes_the_place_of_a_file(tmp_path: Path) -> None:
    """What is there stays; and nothing half-made is left beside it."""
    path = tmp_path / "d.rushlight"
    path.write_bytes(b"hers")
    with pytest.raises(Refused, match="exists already"):
        demo.build(path, clock=_at(NOW))
    assert [found.name for found in tmp_path.iterdir()] == [path.name]
    assert path.read_bytes() == b"hers"


def test_a_large_one_has_the_sizes_asked_for(tmp_path: Path) -> None:
    """So many candles, materials and pours; sums at or above zero, links whole."""
    began = time.perf_counter()
    path = tmp_path / "large.rushlight"
    size = Size(
        candles=40, materials=60, pours=100, lots=400, movements=2_000, order_lines=1_000, deeds=500
    )
    shop = demo.large(path, clock=_at(NOW), size=size)
    assert time.perf_counter() - began < 30
    assert len(candles.listing(shop)) == 40
    assert len(materials.listing(shop)) == 60
    assert len(pours.listing(shop, limit=1000)) == 100
    assert pours.get(shop, 100).pots
    shop.close()
    raw = sqlite3.connect(path)
    sums = raw.execute("SELECT sum(amount) FROM movement GROUP BY material_id").fetchall()
    wanted = {"stock_lot": 400, "movement": 2_000, "order_line": 1_000, "deed": 500}
    for table, rows in wanted.items():
        (count,) = raw.execute(f"SELECT count(*) FROM {table}").fetchone()  # noqa: S608
        assert rows * 0.9 <= count <= rows * 1.2
    assert raw.execute("PRAGMA foreign_key_check").fetchall() == []
    raw.close()
    assert min(total for (total,) in sums) >= 0
