"""What a place in a form is called in the list of what is to be mended."""

from __future__ import annotations

import pytest

from rushlight.web.placed import called


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("", ""),
        ("supplier", "supplier"),
        ("lines.0.supplier_lot", "line 1, their lot"),
        ("lines.11.jars", "line 12, jars"),
        ("fragrance.oils.1.flash_point", "oil 2, flash point"),
        ("vessel.brim", "vessel, brim"),
        ("lot.53.M36-8", "lot M36-8"),
        ("pick.4.261101-01-9", "jars from 261101-01-9"),
        ("left.millpond-soy.amount", "left over millpond soy"),
        ("rejected.sinkhole", "rejected, sinkhole"),
        ("count.jars", "jars"),
        ("move.amount", "amount"),
        ("facts.flash_point", "flash point"),
        ("curing", "jars still curing"),
        ("count", "count"),
    ],
)
def test_a_place_is_called_as_it_is_on_the_page(place: str, words: str) -> None:
    """Rows are counted from one, as they are numbered on the page; no number of ours is shown."""
    assert called(place) == words


def test_a_place_may_have_a_name_of_its_own() -> None:
    """A line of a stocktake is called by the code of its lot."""
    assert called("line.5", {"line.5": "M28-8"}) == "M28-8"
