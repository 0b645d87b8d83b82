"""How much a table may hold. Whatever is more is refused before it is read whole."""

from __future__ import annotations

from typing import Final

LARGEST: Final = 10_000_000
"""Bytes of a file: 2,000 rows of 5,000 characters, far more than any list of a workshop."""

MOST_ROWS: Final = 2_000
"""Rows under the heading: an import is one unit of work, and the other benches wait for it.

A row takes 1 ms (orders) to 7 ms (materials) on a laptop; a longer list comes in parts.
"""

MOST_COLUMNS: Final = 100
"""Columns: a dozen or two are usual, and more are looked at by nobody."""

LONGEST_CELL: Final = 5_000
"""Characters of a cell: as long as the longest note the workshop keeps."""

MOST_BLANK_ROWS: Final = 50_000
"""Empty rows passed over: a sheet formatted to its end has a million of them."""

MOST_SHEET_CELLS: Final = 300_000
"""Cells of a sheet, empty ones too: 2,000 full rows have 200,000, and reading takes 10 µs each."""

MOST_PARTS: Final = 500
"""Parts in the zip of a workbook: a plain one has about ten, and a few for every sheet."""

MOST_UNPACKED: Final = 40_000_000
"""Bytes of all parts unpacked: 2,000 rows of 100 cells come to 10 MB of XML, beside styles."""

MOST_PART: Final = 2_000_000
"""Bytes unpacked of a part that is neither sheet, strings nor picture: it is held whole."""

MOST_RATIO: Final = 200
"""Times a part may grow as it is unpacked: sheets grow 5 to 50 times, a bomb 1,000 times."""

RATIO_FROM: Final = 1_000_000
"""Bytes unpacked below which the ratio says nothing: a small part of spaces harms nobody."""

MOST_MARKS: Final = 1_000_000
"""Tags in all parts, for time goes by tags: 2,000 rows of 60 texts have 720,000."""

MOST_PROBLEMS: Final = 200
"""Problems listed: whoever reads two hundred knows that the file needs another look."""
