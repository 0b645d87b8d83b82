"""The JSON Schema of an archive: every table's columns, their types, units and references.

By JSON Schema 2020-12 (json-schema.org/draft/2020-12). A row is taken as an object of its
columns; the words that begin with `x-` are our own, which the standard lets pass.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, Final

from rushlight.workshop.exchange.archive_parts import table_entry

if TYPE_CHECKING:
    from sqlalchemy import Table

    from rushlight.store.archive import Held

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_FORMATS: Final = {"moment": {"format": "date-time"}, "day": {"format": "date"}}
_JSON: Final = {"contentMediaType": "application/json"}
_FILE: Final = r"^files/[0-9a-f]{64}\.[a-z]{3}$"


def schema_of(tables: Iterable[Table], *, number: int) -> dict[str, Any]:
    """Return the schema of an archive with these tables. number: of the workshop's schema."""
    listed = list(tables)
    return {
        "$schema": _DIALECT,
        "$id": f"urn:rushlight:archive:schema:{number}",
        "title": "A Rushlight workshop",
        "description": (
            "Each property is a table, kept as a CSV file of the same name. There, a field "
            "without quotation marks is a number, or null where it is empty; a field in "
            "quotation marks is a text, which may be empty."
        ),
        "type": "object",
        "properties": {
            table.name: {
                "type": "array",
                "items": {"$ref": f"#/$defs/{table.name}"},
                "x-entry": table_entry(table.name),
            }
            for table in listed
        },
        "required": [table.name for table in listed],
        "additionalProperties": False,
        "$defs": {table.name: _table(table) for table in listed},
    }


def _table(table: Table) -> dict[str, Any]:
    from rushlight.store.archive import columns_of
    from rushlight.store.tables.described import table_says

    columns = columns_of(table)
    return {
        "description": table_says(table.name),
        "type": "object",
        "properties": {held.name: _column(table, held) for held in columns},
        "required": [held.name for held in columns],
        "additionalProperties": False,
        "x-primary-key": [column.name for column in table.primary_key.columns],
    }


def _column(table: Table, held: Held) -> dict[str, Any]:
    from rushlight.store.tables.described import described

    said = described(table.name, held.name)
    kind = "integer" if held.kind == "whole" else "string"
    found: dict[str, Any] = {"description": said.says}
    found["type"] = [kind, "null"] if held.nullable else kind
    if said.unit:
        found["x-unit"] = said.unit
    if held.kind == "file":
        found["pattern"] = _FILE
    found |= _FORMATS.get(said.form, _JSON if said.form == "json" else {})
    target = next((key.column for key in table.c[held.name].foreign_keys), None)
    if target is not None:
        found["x-references"] = f"{target.table.name}.{target.name}"
    return found
