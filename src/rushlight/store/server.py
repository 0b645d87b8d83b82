"""A workshop on a PostgreSQL server, by its address. A password in it is shown to nobody."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Final

from sqlalchemy import URL, Engine, inspect, make_url
from sqlalchemy.exc import ArgumentError

from rushlight.errors import BadInput, NotFound, Refused, WorkshopError
from rushlight.store import dialect
from rushlight.store.tables import SCHEMA
from rushlight.store.trouble import plainly
from rushlight.store.upgrade import bring_up

_SCHEME: Final = re.compile(r"[a-z][a-z0-9+.-]+:/", re.IGNORECASE)  # C:/ is a disc of Windows
_NAMES: Final = frozenset({"postgresql", "postgres", "postgresql+psycopg"})
_OURS: Final = frozenset({"alembic_version", "deed", "setting", "material"})
_LIKE: Final = "postgresql://user@host/database"


def is_address(place: str | Path) -> bool:
    """Return whether a place is an address rather than a file."""
    return _SCHEME.match(str(place)) is not None


def shown(place: str | Path) -> str:
    """Return a place as it may be printed: an address without its password."""
    if not is_address(place):
        return str(place)
    try:
        return _address(place).render_as_string(hide_password=True)
    except BadInput:
        return "the address"


def open_server(
    place: str | Path, *, clock: Callable[[], datetime], patience: float
) -> tuple[Engine, str]:
    """Open the workshop at an address, brought up to date; return its engine and its name."""
    engine, name = _engine(place, patience)
    with _let_go_of(engine), plainly(name):
        version = _version(engine, name)
        if version == 0:
            raise NotFound(
                f"There is no workshop at {name}: the database is empty. "
                "Check the address, or make a new workshop there."
            )
        if version > SCHEMA:
            raise WorkshopError(
                f"{name} was made by a newer Rushlight (schema {version}; this one knows "
                f"{SCHEMA}). Update Rushlight to open it. Nothing was changed."
            )
        if version < SCHEMA:
            bring_up(engine, None, version, now=clock())
    return engine, name


def create_server(
    place: str | Path, *, patience: float, make: Callable[[Engine], None]
) -> tuple[Engine, str]:
    """Make a workshop in the empty database at an address; return its engine and its name."""
    engine, name = _engine(place, patience)
    with _let_go_of(engine), plainly(name):
        if _version(engine, name) > 0:
            raise Refused(f"There is a workshop at {name} already. Open it, or name another.")
        make(engine)
    return engine, name


@contextmanager
def _let_go_of(engine: Engine) -> Iterator[None]:
    """Close the connections of an engine when something goes wrong."""
    try:
        yield
    except BaseException:
        engine.dispose()
        raise


def _engine(place: str | Path, patience: float) -> tuple[Engine, str]:
    address = _address(place)
    name = address.render_as_string(hide_password=True)
    if address.drivername not in _NAMES:
        raise WorkshopError(f"{name} is not an address Rushlight knows. Use {_LIKE}.")
    try:
        import psycopg  # noqa: F401  # only whether it is there
    except ImportError as error:
        raise WorkshopError(
            f"{name} is on a server, and what Rushlight speaks to one with is not installed. "
            "Install it with: pip install 'rushlight[server]'"
        ) from error
    driver = address.set(drivername="postgresql+psycopg")
    return dialect.server_engine(driver, patience=patience), name


def _address(place: str | Path) -> URL:
    try:
        return make_url(str(place))
    except (ArgumentError, ValueError):
        # nothing of what was typed is shown, nor kept with the error: a password may be in it
        raise BadInput.one(
            "This address cannot be read.",
            f"Write it like {_LIKE}, special signs in a password as %40 and the like.",
        ) from None


def _version(engine: Engine, name: str) -> int:
    """Return the schema of the workshop in a database; 0 where nothing is in it yet."""
    with dialect.reading(engine) as connection, connection.begin():
        tables = set(inspect(connection).get_table_names())
        if tables and not tables >= _OURS:
            raise WorkshopError(
                f"{name} belongs to another program. Name a database of Rushlight's own. "
                "Nothing was changed."
            )
        return dialect.schema_version(connection) if tables else 0
