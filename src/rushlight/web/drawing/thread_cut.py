"""Which nodes of a thread are drawn: all of a short column, the nearest of a long one."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rushlight.workshop.stores.thread_views import Thread, ThreadLink, ThreadNode


@dataclass(frozen=True, slots=True)
class Cell:
    """A place in a column: a node, or the rest of its column with how many that is."""

    column: int
    node: ThreadNode | None
    rest: int = 0


@dataclass(frozen=True, slots=True)
class Span:
    """A thread between two cells, the left one first; label: empty where it joins several."""

    left: int
    right: int
    label: str
    joined: int = 1


@dataclass(frozen=True, slots=True)
class Shown:
    """What is drawn; cells are known by their place, columns hold at least one each."""

    headings: tuple[str, ...]
    cells: tuple[Cell, ...]
    spans: tuple[Span, ...]


def cut(thread: Thread, longest: int) -> Shown:
    """Return what is drawn of a thread when no column may hold more than `longest` cells.

    Nearest to the node asked for stays; the rest of a column becomes one cell that says
    how many it stands for, and threads to any of it run to that cell.
    """
    if longest < 2:  # noqa: PLR2004 -- the node asked for, and the rest
        raise ValueError("A column holds the node asked for and the rest: at least two.")
    nodes = {node.key: node for node in thread.nodes}
    unknown = {k for one in thread.links for k in (one.source, one.target)} | {thread.root}
    if not unknown <= nodes.keys():
        raise ValueError(f"The thread lacks nodes that it names: {sorted(unknown - nodes.keys())}")
    used = sorted({node.column for node in thread.nodes})
    place = {column: at for at, column in enumerate(used)}
    kept = _kept(thread, nodes, longest)
    cells = [Cell(place[node.column], node) for node in kept]
    at = {node.key: number for number, node in enumerate(kept)}
    rest = Counter(node.column for node in thread.nodes if node.key not in at)
    for column, count in rest.items():
        at |= {n.key: len(cells) for n in thread.nodes if n.column == column and n.key not in at}
        cells.append(Cell(place[column], None, count))
    return Shown(
        tuple(thread.columns[column] for column in used),
        tuple(cells),
        _joined(thread.links, at, cells),
    )


def _kept(thread: Thread, nodes: Mapping[str, ThreadNode], longest: int) -> list[ThreadNode]:
    """Return the nodes to draw, in the thread's own order."""
    size = Counter(node.column for node in thread.nodes)
    room = {column: n if n <= longest else longest - 1 for column, n in size.items()}
    beside: dict[str, list[str]] = {key: [] for key in nodes}
    for link in thread.links:
        beside[link.source].append(link.target)
        beside[link.target].append(link.source)
    kept: set[str] = set()

    def take(key: str) -> bool:
        column = nodes[key].column
        if key in kept or not room[column]:
            return False
        kept.add(key)
        room[column] -= 1
        return True

    take(thread.root)
    waiting = deque([thread.root])
    while waiting:
        waiting.extend(key for key in beside[waiting.popleft()] if take(key))
    return [node for node in thread.nodes if node.key in kept or take(node.key)]


def _joined(
    links: Sequence[ThreadLink], at: Mapping[str, int], cells: Sequence[Cell]
) -> tuple[Span, ...]:
    """Return one span for each two cells that are linked."""
    between: dict[tuple[int, int], list[str]] = {}
    for link in links:
        ends = (at[link.source], at[link.target])
        left, right = sorted(ends, key=lambda cell: cells[cell].column)
        if left != right:
            between.setdefault((left, right), []).append(link.label)
    return tuple(
        Span(left, right, labels[0] if len(labels) == 1 else "", len(labels))
        for (left, right), labels in between.items()
    )
