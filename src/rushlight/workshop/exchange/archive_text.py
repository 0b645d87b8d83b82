"""The README.txt of an archive."""

from __future__ import annotations

from typing import Final

README_TEXT: Final = """\
This is a whole workshop of Rushlight, written out so that any program can read it.

  tables/*.csv    every table, one file each (RFC 4180, UTF-8, lines end in CR LF)
  files/*         the files kept with materials, each named by the SHA-256 of its content
  schema.json     what every table and column holds: types, units, what points where
                  (JSON Schema 2020-12)
  manifest.json   what is in here: rows, bytes and SHA-256 of every entry, and when it was made

How the CSV is to be read
  The first line names the columns. A text stands in quotation marks, always; a quotation mark
  within it is doubled. A number stands without. A field with nothing in it at all is null,
  that is, nothing is said; a pair of quotation marks with nothing between is a text that is
  empty. A program that opens the tables, rather than reading them, may take a text for a
  formula, or drop that difference: look at them, but do not save them from there.

Units
  Amounts are whole milligrams or whole pieces, as material.measure says. Money is in whole
  1/10000 of the currency, which is the setting "currency" (GBP where there is no such row).
  Temperatures are in whole millikelvin. Moments are ISO 8601 in UTC; days are ISO 8601.

What is left out
  Sums that the database keeps by itself, from the tables that are here: what is left of each
  lot of a material (the sum of tables/movement.csv by stock_lot_id) and of each lot of jars
  (the sum of tables/jar_entry.csv by jar_lot_id).

Rushlight makes a new workshop of an archive that is as it was written; it never writes over
one that is there.
"""
