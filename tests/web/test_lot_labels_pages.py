"""The label of a lot of jars: filled in from its code, and read back from the print."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import pytest

from rushlight.web.app import create_app
from rushlight.workshop import Workshop
from rushlight.workshop.stores import jars
from tests.support.serving import serve


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


def test_the_label_of_a_lot_of_jars_is_filled_in(client: httpx.Client, workshop: Workshop) -> None:
    """As many as there are jars, the code in large figures and in the squares."""
    lot = jars.listing(workshop, candle="slipway")[0]
    at = "/candles/slipway/labels"
    page = client.get(at, params={"lot": lot.code}).text
    for name, value in (
        ("lot.count", str(lot.made)),
        ("lot.number", lot.code),
        ("lot.code", lot.code),
        ("lot.date", lot.poured_on.isoformat()),
    ):
        assert f'name="{name}" value="{value}"' in page
    assert "to mend" not in page
    assert client.get("/candles/low-water/labels", params={"lot": lot.code}).status_code == 404
    assert client.get(at, params={"lot": "260518-01-1"}).status_code in {404, 422}


def test_the_code_on_a_printed_label_is_read_back(client: httpx.Client, workshop: Workshop) -> None:
    """From the raster at 300 dpi: the squares, or with a GTIN the bars with both."""
    import pymupdf
    import zxingcpp

    lot = jars.listing(workshop, candle="slipway")[0]
    form = {"stock": "A4, 8 of 99.1 × 67.7 mm", "start": "1", "lot.count": "1"}
    form |= {"lot.number": lot.code, "lot.code": lot.code, "lot.date": "2026-05-18"}

    def read(more: dict[str, str]) -> set[str]:
        answer = client.get("/candles/slipway/labels.pdf", params=form | more)
        assert answer.headers["content-type"] == "application/pdf", answer.text[-2000:]
        sheet = pymupdf.open(stream=answer.content, filetype="pdf")[0]  # type: ignore[no-untyped-call]
        raster = sheet.get_pixmap(dpi=300)
        picture = memoryview(raster.samples).cast("B", (raster.height, raster.width, raster.n))
        return {found.text for found in zxingcpp.read_barcodes(picture)}

    assert read({}) == {lot.code}
    (both,) = read({"lot.gtin": "4006381333931"})
    assert "4006381333931" in both
    assert lot.code in both
