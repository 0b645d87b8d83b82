"""`rushlight trace`: where something came from and where it went; what a recall touches."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.say import say, say_json
from rushlight.cli.workshop import opened
from rushlight.cli.write import write_whole
from rushlight.errors import BadInput, NotFound
from rushlight.workshop import settings
from rushlight.workshop.exchange.csv_writer import write_csv
from rushlight.workshop.stores import trace

if TYPE_CHECKING:
    from rushlight.workshop.shop import Workshop
    from rushlight.workshop.stores.thread_views import ThreadNode
    from rushlight.workshop.stores.trace_views import Hit, Trace

_MANY = 12
_Write = tuple[Path | None, Callable[[], bytes]]


def run_trace(
    workshop: str, code: str, *, csv: Path | None, pdf: Path | None, as_json: bool
) -> None:
    """Write all that is known of what a code names."""
    if pdf is not None:
        raise BadInput.one("Only a recall is printed.", "Add --recall, or use --csv.", "--pdf")
    with opened(workshop) as shop:
        found = trace.follow(shop, _one(_hits(shop, code)))
        pref = settings.current(shop).preference
    files = _write((csv, lambda: _thread_csv(found)))
    if as_json:
        from rushlight.cli.trace_json import shaped

        say_json({**shaped(found), "files": files})
        return
    from rushlight.cli.trace_table import show_trace

    show_trace(found, pref)
    _tell(files)


def run_recall(
    workshop: str, code: str, *, csv: Path | None, pdf: Path | None, as_json: bool
) -> None:
    """Write which jars a lot touches, where they are, and whom to tell."""
    from rushlight.workshop.stores.recall_rows import recall_rows

    with opened(workshop) as shop:
        found = _recall(shop, code)
        pref = settings.current(shop).preference
        files = _write(
            (csv, lambda: write_csv(*recall_rows(found))),
            (pdf, lambda: _printed(shop, found)),
        )
    if as_json:
        from rushlight.cli.recall_json import shaped

        say_json({**shaped(found), "files": files})
        return
    from rushlight.cli.recall_table import show_recall

    show_recall(found, pref)
    _tell(files)


def _hits(shop: Workshop, code: str) -> tuple[Hit, ...]:
    """Return what a code means, which is something."""
    from rushlight.cli.places import placed

    with placed(lambda _: "CODE"):
        found = trace.find(shop, code)
    if not found.hits:
        nothing = f"Nothing here is called “{found.asked}”."
        raise NotFound(found.slip or f"{nothing} Type a code of a label, or a supplier's own.")
    return found.hits


def _one(hits: tuple[Hit, ...]) -> str:
    """Return the code of the only thing meant; BadInput names them all."""
    if len(hits) == 1:
        return hits[0].code
    listed = "; ".join(f"{hit.code} ({hit.told})" for hit in hits[:_MANY])
    more = f"; and {len(hits) - _MANY} more" if len(hits) > _MANY else ""
    what = f"{len(hits)} things are called so."
    raise BadInput.one(what, f"Type the code of one: {listed}{more}.", "CODE")


def _recall(shop: Workshop, code: str) -> trace.Recall:
    """Return the recall; of a supplier's batch that came as several lots, any of them will do."""
    hits = _hits(shop, code)
    found = trace.recall(shop, hits[0].code)
    if not {hit.code for hit in hits} <= {found.code, *(lot.code for lot in found.lots)}:
        _one(hits)
    return found


def _thread_csv(found: Trace) -> bytes:
    def named(node: ThreadNode | None) -> tuple[str, str]:
        return (node.title, node.code) if node else ("", "")

    rows = ((*named(row.source), *named(row.target), row.label) for row in found.thread.rows)
    return write_csv(("From", "Its code", "Into", "Its code", "How much"), rows)


def _printed(shop: Workshop, found: trace.Recall) -> bytes:
    from rushlight.press.recall_list_from import recall_pdf

    return recall_pdf(shop, found)


def _write(*wanted: _Write) -> list[str]:
    """Write the files that were asked for; return their names."""
    named = [(path, make) for path, make in wanted if path is not None]
    for path, make in named:
        write_whole(path, make())
    return [str(path) for path, _ in named]


def _tell(files: list[str]) -> None:
    for name in files:
        say(f"{name}: written.")
