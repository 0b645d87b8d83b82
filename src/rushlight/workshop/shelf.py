"""What `use` may name: the workshop's materials first, then the built-in kinds."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from rushlight.candle.facts import Shelf
from rushlight.candle.kinds import built_in

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.place import Store


DEEPEST: Final = 8
"""Levels of a document; a real one has five."""


class StoredShelf:
    """A Shelf over one connection: what a document names is looked up in a few queries.

    looked: the facts found (null where none were), by role and name; kept with a
    pour, they give the same candle for ever (`PinnedShelf`).
    """

    def __init__(self, connection: Connection, document: Mapping[str, Any] | None = None) -> None:
        """Read through this connection, while it is open, at once all that a document names."""
        self._connection = connection
        self._kinds: Shelf = built_in()
        self._rows: dict[str, list[RowMapping]] = {}
        self._facts: dict[int, dict[str, Any]] = {}
        self.looked: dict[str, dict[str, Any]] = {}
        self._fetch(set(_named(document or {})))

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts of a material; None where there is none of that name."""
        known = self.looked.setdefault(role, {})
        if name not in known:
            found = self._stored(role, name)
            if found is None:
                kind = self._kinds.facts(role, name)
                found = None if kind is None else {key: _plain(fact) for key, fact in kind.items()}
            known[name] = found
        facts: Mapping[str, Any] | None = known[name]
        return facts

    def names(self, role: str) -> Sequence[str]:
        """Return the names of all materials of a role, the workshop's first."""
        from rushlight.store.queries.materials import names

        own = names(self._connection, role)
        seen = {name.casefold() for name in own}
        return (*own, *(n for n in self._kinds.names(role) if n.casefold() not in seen))

    def row(self, role: str, name: str) -> RowMapping | None:
        """Return the workshop's own material of that name."""
        from rushlight.store.marks import plain

        called = plain(name)
        if called not in self._rows:
            self._fetch({called})
        return next((row for row in self._rows[called] if row["role"] == role), None)

    def _stored(self, role: str, name: str) -> dict[str, Any] | None:
        row = self.row(role, name)
        if row is None:
            return None
        found: dict[str, Any] = {"kind": row["kind"]} if row["kind"] else {}
        return {**found, **self._facts[row["id"]]}

    def _fetch(self, names: set[str]) -> None:
        """Look names up, and the kinds that what is found falls back on."""
        from rushlight.store.marks import plain
        from rushlight.store.queries.materials import by_names, facts_of

        fresh = {plain(name) for name in names} - self._rows.keys()
        if not fresh:
            return
        rows = by_names(self._connection, fresh)
        self._rows.update({called: [] for called in fresh})
        for row in rows:
            self._rows[row["plain"]].append(row)
            self._facts[row["id"]] = {}
        for fact in facts_of(self._connection, [row["id"] for row in rows]):
            self._facts[fact["material_id"]][fact["name"]] = {
                "value": json.loads(fact["value"]),
                "origin": fact["origin"],
                "source": fact["source"],
            }
        self._fetch({row["kind"] for row in rows if row["kind"]})


class FreshShelf:
    """A Shelf that looks into the store whenever it is asked."""

    def __init__(self, store: Store) -> None:
        """Look into this store."""
        self._store = store

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts of a material; None where there is none of that name."""
        with self._store.reading() as connection:
            return StoredShelf(connection).facts(role, name)

    def names(self, role: str) -> Sequence[str]:
        """Return the names of all materials of a role, the workshop's first."""
        with self._store.reading() as connection:
            return StoredShelf(connection).names(role)


class PinnedShelf:
    """A Shelf that knows exactly what was looked up once, and nothing since."""

    def __init__(self, looked: Mapping[str, Mapping[str, Any]]) -> None:
        """Take the facts by role and name."""
        self._looked = looked

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts as they were."""
        facts: Mapping[str, Any] | None = self._looked.get(role, {}).get(name)
        return facts

    def names(self, role: str) -> Sequence[str]:
        """Return the names that were looked up and found."""
        return [name for name, facts in self._looked.get(role, {}).items() if facts is not None]


class ChangedShelf:
    """A Shelf on which one material has other facts: to try them before they are kept."""

    def __init__(self, shelf: Shelf, role: str, name: str, facts: Mapping[str, Any]) -> None:
        """Lay the facts of one material over a shelf."""
        self._shelf, self._role, self._name, self._facts = shelf, role, name, facts

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts, changed for the one."""
        if (role, name) == (self._role, self._name):
            return self._facts
        return self._shelf.facts(role, name)

    def names(self, role: str) -> Sequence[str]:
        """Return the names of all materials of a role."""
        return self._shelf.names(role)


def _plain(fact: Any) -> Any:
    return dict(fact) if isinstance(fact, Mapping) else fact


def _named(value: Any, depth: int = 0) -> Iterator[str]:
    """Yield every name that a document uses; what is nested too deep is no document."""
    if depth > DEEPEST:
        return
    if isinstance(value, Mapping):
        for key, item in value.items():
            if key in ("use", "kind") and isinstance(item, str):
                yield item
            else:
                yield from _named(item, depth + 1)
    elif isinstance(value, list | tuple):
        for item in value:
            yield from _named(item, depth + 1)
