"""Why something moved in the stores, as sums by reason need it."""

from __future__ import annotations

from typing import Any

from sqlalchemy import ColumnElement, Table, case, literal_column


def why(ledger: Table) -> ColumnElement[Any]:
    """Return the reason of a row of a ledger; of one that undoes another, the reason of that one.

    So what stands of a reason is the sum of its rows, however often it was undone and done again.
    """
    # written out, for a server sees no sameness in two parameters when rows are grouped by this
    nothing: ColumnElement[str] = literal_column("''")
    return case((ledger.c.undoes != nothing, ledger.c.undoes), else_=ledger.c.reason)
