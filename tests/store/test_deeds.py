from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st
from sqlalchemy.exc import IntegrityError

from rushlight.errors import NotFound, Refused
from rushlight.store.deeds import deed_of, undo_deed
from rushlight.store.marks import digest, moment, stamp
from rushlight.store.moves import stock_left
from rushlight.store.place import Store
from rushlight.store.queries.others import settings

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


def _put(store: Store, value: str, key: str | None = None) -> int:
    with deed_of(store, "put", at=NOON, key=key) as work:
        if work.first is None:
            work.do("put", values={"name": value})
            work.said, work.subject, work.result = f"Named {value}.", "settings", {"is": value}
    assert work.id is not None
    return work.id


def _name(store: Store) -> str | None:
    with store.reading() as connection:
        return settings(connection).get("name")


def _lot(store: Store) -> int:
    """Make a material with a lot of which nothing is there yet; return the lot."""
    with deed_of(store, "make", at=NOON) as work:
        count = work.connection.exec_driver_sql("SELECT count(*) FROM material").scalar()
        names = {"slug": f"m{count}", "role": "wax", "name": "W", "plain": "w"}
        owner = work.add("material", **names, measure="mass", added_at="")
        return work.add(
            "stock_lot",
            code=f"M{count}",
            material_id=owner,
            amount=0,
            cost=0,
            costed=1,
            received_on="2026-05-12",
            at="",
        )


def test_a_key_used_again_returns_the_first_result(store: Store) -> None:
    """The second time nothing is done, whatever is asked."""
    first = _put(store, "one", key="form 1")
    with deed_of(store, "put", at=NOON, key="form 1") as work:
        assert work.outcome() == {"is": "one"}
    assert _put(store, "two", key="form 1") == first
    assert _name(store) == "one"


def test_a_key_of_another_verb_is_refused(store: Store) -> None:
    """A key is never taken for another form's."""
    _put(store, "one", key="form 1")
    with (
        pytest.raises(Refused, match="Load the page again"),
        deed_of(store, "other", at=NOON, key="form 1"),
    ):
        pass


def test_a_form_sent_again_with_something_else_in_it_is_refused(store: Store) -> None:
    """What was typed is told after a #; nothing of it is lost without a word, or done twice."""
    first = _put(store, "one", key="form 1#a")
    assert _put(store, "one", key="form 1#a") == first
    with pytest.raises(Refused, match="something else in it"):
        _put(store, "two", key="form 1#b")
    assert _name(store) == "one"
    with deed_of(store, "put", at=NOON, key="form 1#a") as work:
        assert work.outcome() == {"is": "one"}


def test_undo_makes_up_and_undoing_the_undo_does_it_again(store: Store) -> None:
    """Each is a deed of its own; the first ones stay in the record."""
    _put(store, "one")
    second = _put(store, "two")
    undone = undo_deed(store, second, at=NOON)
    assert _name(store) == "one"
    undo_deed(store, undone, at=NOON)
    assert _name(store) == "two"
    with store.reading() as connection:
        said = connection.exec_driver_sql("SELECT said FROM deed ORDER BY id").scalars().all()
    assert said == ["Named one.", "Named two.", "Undone: Named two.", "Done again: Named two."]


def test_what_something_later_rests_on_is_not_undone(store: Store) -> None:
    """The message names what has to be undone first; then it can be."""
    first, second = _put(store, "one"), _put(store, "two")
    with pytest.raises(Refused, match=r"Named two\."):
        undo_deed(store, first, at=NOON)
    undo_deed(store, second, at=NOON)
    undo_deed(store, first, at=NOON)
    assert _name(store) is None


def test_what_was_undone_is_done_again_in_its_order_only(store: Store) -> None:
    """Both undone, the later one is not done again without the earlier one it rests on."""
    first, second = _put(store, "one"), _put(store, "two")
    later = undo_deed(store, second, at=NOON)
    earlier = undo_deed(store, first, at=NOON)
    with pytest.raises(Refused, match=r"Undone: Named one\."):
        undo_deed(store, later, at=NOON)
    undo_deed(store, earlier, at=NOON)
    undo_deed(store, later, at=NOON)
    assert _name(store) == "two"


def test_what_was_undone_again_is_not_undone_twice(store: Store) -> None:
    """Undone, done again, undone again: the deed is undone, however long the line."""
    first = last = _put(store, "one")
    for turn in range(6):
        last = undo_deed(store, last, at=NOON)
        assert _name(store) == ("one" if turn % 2 else None)
        if turn % 2 == 0:
            with pytest.raises(Refused, match="already"):
                undo_deed(store, first, at=NOON)
    undo_deed(store, first, at=NOON)
    assert _name(store) is None


def test_undoing_twice_is_refused_but_a_repeated_key_is_not(store: Store) -> None:
    """A second undo of the same is refused; the same form sent again is the same undo."""
    number = _put(store, "one")
    undone = undo_deed(store, number, at=NOON, key="u")
    assert undo_deed(store, number, at=NOON, key="u") == undone
    with pytest.raises(Refused, match="already"):
        undo_deed(store, number, at=NOON)
    with pytest.raises(NotFound):
        undo_deed(store, 10_000, at=NOON)


def test_nothing_goes_below_zero(store: Store) -> None:
    """More than is in hand cannot leave, and a receipt that was used up cannot be undone."""
    lot = _lot(store)
    with deed_of(store, "receive", at=NOON) as work:
        work.do("move", stock_lot_id=lot, amount=5, reason="received")
    received = work.id
    with deed_of(store, "use", at=NOON) as work:
        work.do("move", stock_lot_id=lot, amount=-4, reason="used")
    with pytest.raises(Refused, match="not that much"), deed_of(store, "use", at=NOON) as work:
        work.do("move", stock_lot_id=lot, amount=-2, reason="used")
    assert received is not None
    with pytest.raises(Refused, match="not that much"):
        undo_deed(store, received, at=NOON)


@pytest.mark.parametrize(
    "statement", ["UPDATE movement SET amount = 9", "DELETE FROM movement", "DELETE FROM revision"]
)
def test_the_ledger_refuses_to_be_rewritten(store: Store, statement: str) -> None:
    """Not by a slip in a query either: the file itself refuses."""
    lot = _lot(store)
    with deed_of(store, "receive", at=NOON) as work:
        work.do("move", stock_lot_id=lot, amount=5, reason="received")
        candle = work.add("candle", slug="c", name="C", added_at="")
        work.do("revise", candle_id=candle, document={"name": "C"})
    with pytest.raises(IntegrityError), store.unit_of_work() as connection:
        connection.exec_driver_sql(statement)


@how(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.one_of(
            st.tuples(st.just("move"), st.integers(-(10**12), 10**12)),
            st.tuples(st.just("undo"), st.integers(0, 30)),
        ),
        max_size=30,
    )
)
def test_on_hand_is_always_the_sum_and_never_below_zero(
    store: Store, acts: list[tuple[str, int]]
) -> None:
    """Whatever is received, used and undone: the sum of the entries is what is in hand.

    A model that keeps one number agrees after each step with the ledger.
    """
    lot = _lot(store)
    model = 0
    done: list[int] = []
    effect: dict[int, int] = {}
    undone: set[int] = set()
    made_up: dict[int, int] = {}
    for act, value in acts:
        if act == "move":
            try:
                with deed_of(store, "move", at=NOON) as work:
                    work.do("move", stock_lot_id=lot, amount=value, reason="moved")
            except Refused:
                assert model + value < 0
                continue
            assert work.id is not None
            model += value
            done.append(work.id)
            effect[work.id] = value
        elif done:
            target = done[value % len(done)]
            if target in undone or model - effect[target] < 0:
                with pytest.raises(Refused):
                    undo_deed(store, target, at=NOON)
                continue
            made = undo_deed(store, target, at=NOON)
            undone.add(target)
            # what an undo had undone stands again when the undo is undone; what that had undone
            # itself does not, and so on
            down, stands = made_up.get(target), True
            while down is not None:
                (undone.discard if stands else undone.add)(down)
                down, stands = made_up.get(down), not stands
            made_up[made] = target
            model -= effect[target]
            done.append(made)
            effect[made] = -effect[target]
        with store.reading() as connection:
            assert stock_left(connection, lot).units == model >= 0


@given(
    st.datetimes(min_value=datetime(1990, 1, 1), max_value=datetime(2200, 1, 1)),  # noqa: DTZ001
    st.integers(-12 * 60, 14 * 60),
)
def test_moments_come_back_and_sort_as_texts(naive: datetime, offset: int) -> None:
    """Whatever the zone, to the millisecond; and text order is time order."""
    at = naive.replace(tzinfo=timezone(timedelta(minutes=offset)))
    assert abs(moment(stamp(at)) - at) < timedelta(milliseconds=1)
    later = at + timedelta(seconds=1)
    assert stamp(at) < stamp(later)


def test_a_fingerprint_does_not_mind_the_order_of_fields() -> None:
    """The same document typed in another order is the same document."""
    assert digest({"a": "1", "b": {"c": "2", "d": "3"}}) == digest(
        {"b": {"d": "3", "c": "2"}, "a": "1"}
    )
    assert digest({"a": "1"}) != digest({"a": "2"})
