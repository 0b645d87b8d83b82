"""A thread through the workshop, from a supplier to a buyer, as plain data to draw and list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["supplier", "stock_lot", "pour", "jar_lot", "order", "buyer", "loss"]
"""What a node is; a loss is jars given away, broken or used for testing, beside the orders."""

HEADINGS = ("Supplier", "Delivery and lot", "Pour", "Jar lot", "Order", "Buyer")
"""The columns of a whole thread, from left to right."""

COLUMN: dict[Kind, int] = {
    "supplier": 0,
    "stock_lot": 1,
    "pour": 2,
    "jar_lot": 3,
    "order": 4,
    "loss": 4,
    "buyer": 5,
}
"""The column in which each kind stands."""

WORDS: dict[Kind, str] = {
    "supplier": "Supplier",
    "stock_lot": "Lot",
    "pour": "Pour",
    "jar_lot": "Jar lot",
    "order": "Order",
    "buyer": "Buyer",
    "loss": "Not sold",
}
"""The name of each kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadNode:
    """One thing on the thread.

    key: unique in its thread ("stock_lot:17"). title: its name as shown. lines: remarks in
    small print, the first the most telling. code: what finds it again ("M1042-8"), empty
    where there is nothing; no address, which is for the page to make. mark: what is to be
    noticed of it, in words ("past its date"); mostly empty.
    """

    key: str
    column: int
    kind: Kind
    title: str
    lines: tuple[str, ...] = ()
    code: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class ThreadLink:
    """That something went from one node into another; label: how much ("1.2 kg", "24 jars")."""

    source: str
    target: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class ThreadRow:
    """One line of the thread's table: from what, into what, how much; either may be missing."""

    source: ThreadNode | None
    target: ThreadNode | None
    label: str


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread: the key of the node asked for, its nodes in the order wanted, its links.

    columns: headings from left to right; a node's column is a place in them.
    """

    root: str
    nodes: tuple[ThreadNode, ...]
    links: tuple[ThreadLink, ...]
    columns: tuple[str, ...] = HEADINGS

    @property
    def asked(self) -> ThreadNode:
        """The node that was asked for."""
        return next(node for node in self.nodes if node.key == self.root)

    @property
    def rows(self) -> tuple[ThreadRow, ...]:
        """The table beside the drawing: every link from left to right, then what has none."""
        by_key = {node.key: node for node in self.nodes}
        place = {node.key: (node.column, at) for at, node in enumerate(self.nodes)}
        found = sorted(self.links, key=lambda link: (place[link.source], place[link.target]))
        linked = {key for link in self.links for key in (link.source, link.target)}
        return (
            *(ThreadRow(by_key[one.source], by_key[one.target], one.label) for one in found),
            *(ThreadRow(node, None, "") for node in self.nodes if node.key not in linked),
        )
