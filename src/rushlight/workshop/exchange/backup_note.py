"""What went wrong with the last backup, kept with the workshop until one is made again.

It is no deed of the maker's, so none is written: there is nothing to undo.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from rushlight.errors import RushlightError
from rushlight.workshop.shop import Workshop

_NAME: Final = "backup_trouble"
_LONGEST: Final = 1_000


@dataclass(frozen=True, slots=True)
class Trouble:
    """A backup that was not made. at: the first time it failed in a row."""

    at: datetime
    said: str


def trouble(shop: Workshop) -> Trouble | None:
    """Return why the last backup on schedule was not made; None when it was."""
    from rushlight.store.marks import moment
    from rushlight.store.queries.others import settings

    with shop.store.reading() as connection:
        kept = settings(connection).get(_NAME)
    if not kept:
        return None
    told = json.loads(kept)
    return Trouble(shop.local(moment(told["at"])), told["said"])


def note(shop: Workshop, said: str) -> None:
    """Keep what went wrong, or (empty) that nothing did; nothing is written when it is known."""
    from sqlalchemy import delete, insert

    from rushlight.store.marks import stamp, written
    from rushlight.store.tables import setting

    # where even this cannot be written, the workshop itself says so at the next write
    with suppress(RushlightError):
        known = trouble(shop)
        if (known.said if known else "") == said[:_LONGEST]:
            return
        with shop.store.unit_of_work() as connection:
            connection.execute(delete(setting).where(setting.c.name == _NAME))
            if said:
                told = {"at": stamp(shop.now()), "said": said[:_LONGEST]}
                connection.execute(insert(setting).values(name=_NAME, value=written(told)))
