"""An import worked out in a copy and written in the workshop: the same rows, and no long wait."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import Refused
from rushlight.store import commands, deeds, rehearsed
from rushlight.store.command import Command
from rushlight.store.deeds import Work
from rushlight.workshop import Workshop, materials, undo
from rushlight.workshop.exchange import aside, imports
from rushlight.workshop.exchange.imports import Mapping, Written, propose, write
from rushlight.workshop.exchange.reader import read_table
from rushlight.workshop.opening import create_workshop, open_workshop
from tests.support import jars
from tests.support.dumps import dump

FACTS = """\
type,name,flash point (°C),note,pack,price,supplier,on hand
oil,Night air,93,,1 kg,28.50,Ropewalk,2.5 kg
oil,Lake mint,88,changed,500 g,20,Ropewalk,
wick,Flat 9,,,100,8,Mill & Co,120
"""
DELIVERIES = """\
date,supplier,invoice,item,qty,pack size,price,batch
2026-05-11,Ropewalk,A1,Millpond soy,2,10 kg,48.50,L9
2026-05-11,Ropewalk,A1,Lake mint,1,500 g,20.00,
"""
ORDERS = """\
order number,customer,email,date,due,product,qty,price,channel
1001,Ann,ann@example.org,2026-05-10,2026-05-20,Slipway,3,24,Saturday market
"""


@pytest.fixture
def hers(tmp_path: Path, clock: Any) -> Iterator[Workshop]:
    """Return a furnished workshop in a file."""
    shop = create_workshop(tmp_path / "hers.rushlight", clock=clock, durable=False)
    jars.furnish(shop)
    yield shop
    shop.close()


def _bring(shop: Workshop, kind: str, text: str, key: str | None = None) -> Written:
    table = read_table("list.csv", text.encode())
    return write(shop, kind, table, Mapping(propose(kind, table).columns, "ymd"), key=key)


def _oil(shop: Workshop) -> None:
    """Add a material whose fact is the last one written, so that its number is given again."""
    typed = {"role": "fragrance", "name": "Lake mint", "facts": {"flash_point": "90 C"}}
    if not any(row.name == "Lake mint" for row in materials.listing(shop, "fragrance")):
        materials.save(shop, None, typed)


@pytest.mark.parametrize(
    ("kind", "text"), [("materials", FACTS), ("deliveries", DELIVERIES), ("orders", ORDERS)]
)
def test_the_rows_are_those_that_the_import_itself_would_write(
    hers: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str, text: str
) -> None:
    """Every row of every table, the record with its inverse among them; and undone they are too."""
    _oil(hers)
    hers.store.copy_to(tmp_path / "other.rushlight")
    other = open_workshop(tmp_path / "other.rushlight", clock=hers.clock)
    frozen = hers.now()
    monkeypatch.setattr(type(hers), "now", lambda _: frozen)
    try:
        done = _bring(hers, kind, text)
        with monkeypatch.context() as patch:
            patch.setattr(imports, "rehearsed", lambda *_, **__: None)
            itself = _bring(other, kind, text)
        assert done == itself
        assert dump(hers) == dump(other)
        assert done.deed is not None
        undo.undo(hers, done.deed)
        undo.undo(other, done.deed)
        assert dump(hers) == dump(other)
    finally:
        other.close()


def _writes(shop: Workshop, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note where commands are carried out: in the workshop, or in a copy of it."""
    where: list[str] = []
    real = commands.carry_out

    def noted(connection: Any, command: Command, at: Any) -> Any:
        mine = str(connection.engine.url.database) == str(shop.store.path)
        where.append("mine" if mine else "copy")
        return real(connection, command, at)

    monkeypatch.setattr(deeds, "carry_out", noted)
    return where


def test_nothing_is_worked_out_while_others_wait(
    hers: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No command is carried out in the workshop itself, only rows are written."""
    _oil(hers)
    where = _writes(hers, monkeypatch)
    _bring(hers, "materials", FACTS)
    assert set(where) == {"copy"}


@contextmanager
def _meanwhile(monkeypatch: pytest.MonkeyPatch, act: Callable[[], object]) -> Iterator[list[int]]:
    """Do something in the workshop each time a rehearsal ends."""
    times: list[int] = []
    real = rehearsed.read_back

    def read_back(work: Work, before: Any) -> Any:
        found = real(work, before)
        times.append(len(times))
        act()
        return found

    with monkeypatch.context() as patch:
        patch.setattr(rehearsed, "read_back", read_back)
        yield times


def test_what_is_written_meanwhile_is_not_lost_and_not_written_over(
    hers: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another bench saves a material each time: after three tries it is done in the workshop."""
    _oil(hers)
    where = _writes(hers, monkeypatch)
    names = iter("ABCDEF")
    with _meanwhile(
        monkeypatch,
        lambda: materials.save(hers, None, {"role": "wax", "name": f"Wax {next(names)}"}),
    ) as times:
        _bring(hers, "materials", FACTS)
    assert len(times) == 3
    assert "mine" in where
    found = {row.name for row in materials.listing(hers)}
    assert {"Wax A", "Wax B", "Wax C", "Night air", "Flat 9"} <= found


def test_a_form_sent_twice_is_done_once(hers: Workshop) -> None:
    """The second time it tells the first's result, and tries nothing."""
    first = _bring(hers, "orders", ORDERS, key="form")
    before = dump(hers)
    again = _bring(hers, "orders", ORDERS, key="form")
    assert (again.said, again.deed) == (first.said, first.deed)
    assert dump(hers) == before
    with pytest.raises(Refused):
        _bring(hers, "materials", FACTS, key="form")


def test_work_at_another_bench_does_not_matter(
    hers: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reading of a running pour, taken while the import is worked out: once is enough."""
    from rushlight.workshop import bench, pours

    _oil(hers)
    jars.stocked(hers, "millpond-soy", 50_000_000)
    pour = pours.plan(hers, "slipway", {"jars": "4"}, hers.today()).id
    pours.start(hers, pour, {"person": "Ann"})
    where = _writes(hers, monkeypatch)
    with _meanwhile(
        monkeypatch, lambda: bench.start_timer(hers, pour, 1, "Cool", "5 min")
    ) as times:
        _bring(hers, "materials", FACTS)
    assert len(times) == 1
    assert where.count("mine") == 1  # the timer itself
    assert {"timer.start", "pour.read", "pour.tick"} <= aside.BESIDE
