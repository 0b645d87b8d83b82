"""Whatever is done in whatever order: sums, costs and trace stay consistent."""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from sqlalchemy import func, select

from rushlight.errors import BadInput, Refused
from rushlight.store.dialect import sqlite_engine
from rushlight.store.place import PATIENCE, Store
from rushlight.store.tables import deed, jar_entry, movement
from rushlight.workshop import Workshop, materials, pours, prices, undo
from rushlight.workshop import settings as settings_of
from rushlight.workshop.opening import create_workshop
from rushlight.workshop.stores import jars, lots, orders, receiving, reserving, stocktakes, working
from tests.support.bench import equip
from tests.support.ledger_checks import PIECES, check

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
MATERIALS = {"test-soy": "g", "test-tumbler": "", "test-wick": "", "test-carton": ""}
small = st.integers(1, 9)
grams = st.integers(1, 3000)
money = st.integers(0, 9999).map(lambda pence: f"{pence / 100:.2f}")
slugs = st.sampled_from(sorted(MATERIALS))
one_of_many = st.integers(0, 10**6)


def _amount(slug: str, number: int) -> str:
    """Return an amount of a material: grams, or a hundredth of them in pieces."""
    return f"{number} g" if MATERIALS[slug] else str(1 + number // 100)


class Ledger(RuleBasedStateMachine):
    """A workshop where everything happens, and where most of it can go wrong."""

    template: Path
    done: Counter[str]

    def __init__(self) -> None:
        """Open a workshop of its own."""
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        path = Path(shutil.copyfile(self.template, Path(self.folder.name) / "shop.rushlight"))
        self.now = NOON
        engine = sqlite_engine(path, patience=PATIENCE, durable=False)
        self.shop = Workshop(Store(engine, str(path), path), lambda: self.now)
        self.running: list[int] = []
        self.first = self._rows()[-1]  # the deeds of the fitting out, which are left alone

    def teardown(self) -> None:
        """Close it."""
        self.shop.close()
        self.folder.cleanup()

    def try_(self, act: str, do: Callable[[], object]) -> None:
        """Do something; when it is refused, nothing was written."""
        self.now += timedelta(minutes=7)
        before = self._rows()
        try:
            do()
        except (BadInput, Refused):
            self.done[f"{act}: refused"] += 1
            refused = True
        else:
            self.done[act] += 1
            refused = False
        if refused:
            assert self._rows() == before, f"{act} was refused, and yet wrote something"

    def _rows(self) -> tuple[int, ...]:
        tables = (movement, jar_entry, deed)
        with self.shop.store.reading() as connection:
            return tuple(
                connection.execute(select(func.count()).select_from(table)).scalar_one()
                for table in tables
            )

    def lot(self, pick: int) -> str | None:
        """Return the code of some lot of a material."""
        found = lots.listing(self.shop, empty=pick % 3 == 0)
        return found[pick % len(found)].code if found else None

    def jar_lot(self, pick: int) -> str | None:
        """Return the code of some lot of jars."""
        found = jars.listing(self.shop, empty=pick % 5 == 0)
        return found[pick % len(found)].code if found else None

    @initialize(
        tumblers=st.integers(5, 60),
        wicks=st.integers(5, 60),
        wax=grams,
        count=small,
        cartons=st.integers(1, 30),
    )
    def opening_stock(self, tumblers: int, wicks: int, wax: int, count: int, cartons: int) -> None:
        """Begin with something in hand, and with a pour."""
        for slug, amount in (("test-tumbler", tumblers), ("test-wick", wicks)):
            materials.receive(self.shop, slug, {"amount": str(amount)})
        self.receive("test-carton", 1, 100 * cartons, "3.33", "0.10", -1)
        self.receive("test-soy", 2, wax, "9.99", "1.01", -1)
        self.pour(count, 1)

    @rule(
        slug=slugs,
        packs=small,
        size=grams,
        price=st.one_of(st.just(""), money),
        freight=money,
        expires=st.integers(-1, 20),
    )
    def receive(  # noqa: PLR0913, PLR0917 - a delivery has many fields
        self, slug: str, packs: int, size: int, price: str, freight: str, expires: int
    ) -> None:
        """Receive a delivery of two lines, freight spread by value; or some that has no price."""
        line = {"material": slug, "packs": str(packs), "pack": _amount(slug, size), "price": price}
        if expires >= 0:
            line["expires"] = (self.now + timedelta(days=expires)).date().isoformat()
        typed = {f"lines.0.{field}": text for field, text in line.items()}
        if price:
            typed |= {"freight": freight, "lines.1.material": "test-wick", "lines.1.packs": "1"}
            typed |= {"lines.1.pack": "7", "lines.1.price": "0.50"}
        self.try_("receive", lambda: receiving.receive(self.shop, {"supplier": "Nobody", **typed}))

    @rule(count=small, person=st.sampled_from(["", "Ada"]))
    def start(self, count: int, person: str) -> None:
        """Plan a pour and start it."""
        pour = pours.plan(self.shop, "oar", {"jars": str(count)}, self.shop.today()).id
        self.try_("start", lambda: pours.start(self.shop, pour, {"person": person}))
        self.running.append(pour)

    @rule(count=small, rejected=st.integers(0, 2))
    def pour(self, count: int, rejected: int) -> None:
        """Plan, start and finish a pour, all in one go."""
        pour = pours.plan(self.shop, "oar", {"jars": str(count)}, self.shop.today()).id
        pours.start(self.shop, pour)
        typed = {"rejected": str(rejected), "count_wrong": "A pail was never entered"}
        typed["jars_differ"] = "One broke"
        self.try_("pour", lambda: pours.finish(self.shop, pour, typed))

    @precondition(lambda self: self.running)
    @rule(pick=one_of_many, actual=grams, other=one_of_many)
    def weigh(self, pick: int, actual: int, other: int) -> None:
        """Weigh something else than planned, time a step, and choose another lot for the wax."""
        pour = self.running[pick % len(self.running)]
        need = next(n for n in reserving.choices(self.shop, pour) if n.role == "wax")
        key = pours.get(self.shop, pour).pots[0].lines[0].key
        self.try_("tick", lambda: pours.tick(self.shop, pour, 1, key, f"{actual} g"))
        self.try_("work", lambda: working.start(self.shop, pour, "Pour", f"Hand {pick % 2}"))
        if need.lots:
            code = need.lots[other % len(need.lots)].lot.code
            typed = {f"lot.{need.need}.{code}": f"{actual} g"}
            self.try_("choose", lambda: reserving.choose(self.shop, pour, typed))

    @precondition(lambda self: self.running)
    @rule(
        pick=one_of_many,
        rejected=st.integers(0, 4),
        none_good=st.integers(0, 9),
        left=st.one_of(st.none(), grams),
        fate=st.sampled_from(["returned", "scrapped"]),
        wrong=st.booleans(),
    )
    def finish(  # noqa: PLR0913, PLR0917 - a finish has many fields
        self,
        pick: int,
        rejected: int,
        none_good: int,
        left: int | None,
        fate: str,
        wrong: bool,  # noqa: FBT001 - drawn by name
    ) -> None:
        """Finish a pour with rejects and leftovers, whether or not there was enough."""
        pour = self.running[pick % len(self.running)]
        typed = {"rejected.sinkhole": str(rejected)}
        if none_good == 0:
            typed["good"] = "0"
        if left is not None:
            typed |= {"left.test-soy.amount": f"{left} g", "left.test-soy.fate": fate}
            typed |= {"left.test-wick.amount": "1", "left.test-wick.fate": fate}
        if wrong:
            typed |= {"count_wrong": "A pail was never entered", "jars_differ": "One broke"}

        def do() -> None:
            pours.finish(self.shop, pour, typed)
            self.running.remove(pour)

        self.try_("finish", do)

    @rule(pick=one_of_many, count=small, back=st.integers(0, 3))
    def sell(self, pick: int, count: int, back: int) -> None:
        """Sell jars of a lot over the counter, and have some back at once."""
        code = self.jar_lot(pick)
        if code is None:
            return
        typed = {"lot": code, "jars": str(count), "channel": "fair", "price": "15"}
        sold = self.done["sell"]
        self.try_("sell", lambda: orders.sell(self.shop, {**typed, "curing": "yes"}))
        if self.done["sell"] > sold and back:
            told = {"jars": str(back), "order": orders.listing(self.shop)[0].code}
            self.try_("take back", lambda: jars.take_back(self.shop, code, told))

    @rule(pick=one_of_many, count=small, send=st.booleans())
    def order(self, pick: int, count: int, send: bool) -> None:  # noqa: FBT001 - drawn by name
        """Write an order of some lot down, pick it, and perhaps send it."""
        code = self.jar_lot(pick)
        if code is None:
            return
        typed = {"channel": "fair", "lines.0.candle": "oar", "lines.0.price": "15"}
        made = orders.save(self.shop, None, {**typed, "lines.0.jars": str(count)})
        field = f"pick.{made.items[0].id}.{code}"
        told = {field: str(count), "curing": "yes"}
        self.try_("pick", lambda: orders.pick(self.shop, made.line.code, told))
        if send:
            self.try_("send", lambda: orders.send(self.shop, made.line.code))

    @rule(pick=one_of_many, count=st.integers(1, 3))
    def take_back(self, pick: int, count: int) -> None:
        """Take jars of an order back, into the lot they are of or, wrongly, into another."""
        found = orders.listing(self.shop)
        if not found:
            return
        order = found[pick % len(found)].code
        picked = [one for item in orders.get(self.shop, order).items for one in item.picked]
        code = picked[0].lot if picked and pick % 4 else self.jar_lot(pick)
        if code is not None:
            typed = {"jars": str(count), "order": order}
            self.try_("take back", lambda: jars.take_back(self.shop, code, typed))

    @rule(pick=one_of_many, count=small, fate=st.sampled_from(["given", "testing", "broken"]))
    def take(self, pick: int, count: int, fate: str) -> None:
        """Take jars that are not sold."""
        code = self.jar_lot(pick)
        if code is not None:
            typed = {"jars": str(count), "fate": fate}
            self.try_("take", lambda: jars.take(self.shop, code, typed))

    @rule(pick=one_of_many, count=st.integers(0, 12))
    def count_jars(self, pick: int, count: int) -> None:
        """Count the jars of a lot."""
        code = self.jar_lot(pick)
        if code is not None:
            self.try_("count jars", lambda: jars.count(self.shop, code, {"jars": str(count)}))

    @rule(pick=one_of_many, number=grams, how=st.sampled_from(["scrap", "count", "worth"]))
    def treat_lot(self, pick: int, number: int, how: str) -> None:
        """Throw away some of a lot, count it, or say what it cost."""
        code = self.lot(pick)
        if code is None:
            return
        amount = _amount(lots.get(self.shop, code).line.material, number)
        typed = {"cost": f"{number / 100:.2f}"} if how == "worth" else {"amount": amount}
        self.try_(how, lambda: getattr(lots, how)(self.shop, code, typed))

    @rule(slug=slugs, number=grams, how=st.sampled_from(["scrap", "count", "receive"]))
    def treat_material(self, slug: str, number: int, how: str) -> None:
        """Do the same to a material, whichever its lots."""
        typed = {"amount": _amount(slug, number)}
        self.try_(f"{how} material", lambda: getattr(materials, how)(self.shop, slug, typed))

    @rule(pick=one_of_many, number=grams)
    def stocktake(self, pick: int, number: int) -> None:
        """Count one line of a stocktake otherwise than the books, and book it."""
        if not lots.listing(self.shop) and not jars.listing(self.shop):
            return
        view = stocktakes.begin(self.shop, {"of": "both"})
        line = view.lines[pick % len(view.lines)]
        text = _amount("test-soy", number) if line.measure == "mass" else str(number // 100)
        found, typed = view.line.id, {f"line.{line.id}": text}
        self.try_("enter", lambda: stocktakes.enter(self.shop, found, typed))
        typed = {"reason": "Spring clean"}
        self.try_("stocktake", lambda: stocktakes.book(self.shop, found, typed))

    @rule(pick=st.integers(0, 12))
    def undo(self, pick: int) -> None:
        """Undo one of the latest deeds, or an undoing."""
        latest = undo.listing(self.shop, limit=13)
        found = [one for one in latest if not one.undone and one.id > self.first]
        if not found:
            return
        deed_done = found[pick % len(found)]
        self.try_("undo", lambda: undo.undo(self.shop, deed_done.id))
        state = pours.PourState.RUNNING
        self.running = [line.id for line in pours.listing(self.shop, state=state)]

    @rule(days=st.integers(1, 9))
    def wait(self, days: int) -> None:
        """Let days go by: lots pass their dates, jars come out of cure."""
        self.now += timedelta(days=days)

    @invariant()
    def everything_adds_up(self) -> None:
        """Check sums, costs and trace, from the rows alone."""
        check(self.shop)


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of a workshop that is fitted out, and has nothing in stores."""
    path = tmp_path_factory.mktemp("ledger") / "new.rushlight"
    shop = create_workshop(path, clock=lambda: NOON, durable=False)
    equip(shop)
    materials.save(shop, None, {"role": "packaging", "name": "Test carton"})
    pieces = {"packaging.0.use": "Test carton", "packaging.0.pieces": str(PIECES)}
    settings_of.change(shop, pieces)
    prices.save_channel(shop, None, {"name": "Fair", "kind": "direct"})
    shop.close()
    return path


def test_every_act_can_be_done(template: Path) -> None:
    """One after the other, as a workshop would: what is tried below is not only ever refused."""
    Ledger.template, Ledger.done = template, Counter()
    ledger = Ledger()
    ledger.opening_stock(60, 60, 3000, 9, 10)
    acts: tuple[Callable[[], object], ...] = (
        lambda: ledger.receive("test-soy", 9, 3000, "", "0", 9),
        lambda: ledger.start(5, "Ada"),
        lambda: ledger.weigh(0, 1100, 1),
        lambda: ledger.finish(0, 1, 1, 90, "scrapped", wrong=True),
        lambda: ledger.sell(1, 3, 0),
        lambda: ledger.order(1, 1, send=True),
        lambda: ledger.take_back(1, 1),
        lambda: ledger.take(1, 1, "broken"),
        lambda: ledger.count_jars(1, 9),
        *(partial(ledger.treat_lot, 0, 900, how) for how in ("scrap", "worth", "count")),
        *(partial(ledger.treat_material, "test-soy", 9, how) for how in ("receive", "scrap")),
        lambda: ledger.treat_material("test-wick", 2900, "count"),
        lambda: ledger.stocktake(0, 2000),
        lambda: ledger.undo(0),
    )
    for act in acts:
        act()
        ledger.everything_adds_up()
    ledger.teardown()
    assert set(Ledger.done) == {
        *("receive", "pour", "start", "tick", "work", "choose", "finish", "sell", "take back"),
        *("pick", "send"),
        *("take", "count jars", "scrap", "count", "worth", "receive material", "scrap material"),
        *("count material", "enter", "stocktake", "undo"),
    }


@pytest.mark.slow
def test_sums_costs_and_trace_stay_consistent(template: Path) -> None:
    """Over receiving, pouring, selling, taking back, scrapping, counting, and undoing anything."""
    Ledger.template, Ledger.done = template, Counter()
    run_state_machine_as_test(
        Ledger,
        settings=settings(
            max_examples=50,
            stateful_step_count=25,
            deadline=None,
            suppress_health_check=[HealthCheck.too_slow],
        ),
    )
