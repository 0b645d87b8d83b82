"""Labels to print: previews, sheets, and what does not fit, as a page."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from io import BytesIO
from urllib.parse import urlencode

import httpx
import pypdf
import pytest

from rushlight.press.labels.stock import sheets
from rushlight.web.app import create_app
from rushlight.workshop import Workshop
from tests.support.serving import serve

AT = "/candles/low-water/labels"
TWENTY_ONE = "A4, 21 of 63.5 × 38.1 mm"
EIGHT = "A4, 8 of 99.1 × 67.7 mm"
LOT = {"lot.count": "4", "lot.number": "7", "lot.date": "2026-11-25"}
OWN = {
    "stock": "own",
    "paper": "Letter",
    "columns": "2",
    "rows": "3",
    "width": "90 mm",
    "height": "2 1/4 in",
    "left": "12 mm",
    "top": "0.5 in",
    "pitch_x": "95 mm",
    "pitch_y": "60",
}


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


def test_the_page_begins_with_the_front_filled_in(client: httpx.Client) -> None:
    """Name, maker and net weight are known; every number of labels can be changed."""
    page = client.get(AT).text
    assert 'name="front.name" value="Low Water"' in page
    assert re.search(r'name="front.net" value="(?:Net Wt [\d.]+ oz \(\d+ g\)|\d+ g ℮)"', page)
    assert "/labels/front.svg?" in page
    assert "to mend" not in page


def test_a_picture_of_each_label_is_shown_with_its_words_for_a_reader_by_ear(
    client: httpx.Client,
) -> None:
    """One picture a kind asked for, none for the others."""
    page = client.get(AT, params=LOT | {"stock": EIGHT, "fire.count": "2"}).text
    pictures = re.findall(r'<img src="([^"]+)" alt="([^"]*)"', page)
    assert [re.sub(r".*/(\w+)\.svg.*", r"\1", src) for src, _ in pictures] == ["fire", "lot"]
    assert "Lot 7" in pictures[1][1].replace("\xa0", " ")
    for src, _ in pictures:
        answer = client.get(src.replace("&amp;", "&"))
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "image/svg+xml"
        assert "<script" not in answer.text


def test_the_sheet_is_drawn_with_the_cells_that_will_be_printed(client: httpx.Client) -> None:
    """Four labels from cell 5: cells 1 to 4 are gone, 5 to 8 are taken, 13 stay free."""
    page = client.get(AT, params=LOT | {"stock": TWENTY_ONE, "start": "5"}).text
    assert page.count('class="p-cell gone"') == 4
    assert page.count('class="p-cell taken"') == 4
    assert page.count('class="p-cell free"') == 13
    assert 'id="cell-5" name="start" value="5" checked' in page
    assert page.count('name="start"') == 21
    assert 'href="#cell-5"' in page


@pytest.mark.parametrize("name", list(sheets()))
def test_every_sheet_gives_a_pdf_at_the_size_of_its_paper(client: httpx.Client, name: str) -> None:
    """A4 is 595.28 x 841.89 pt, Letter 612 x 792 pt (ISO 216; ANSI/ASME Y14.1)."""
    answer = client.get(f"{AT}.pdf", params=LOT | {"stock": name})
    assert answer.headers["content-type"] == "application/pdf", answer.text[-2500:]
    page = pypdf.PdfReader(BytesIO(answer.content)).pages[0]
    size = (float(page.mediabox.width), float(page.mediabox.height))
    expected = (612, 792) if name.startswith("Letter") else (595.276, 841.89)
    assert size == pytest.approx(expected, abs=0.01)
    assert page.extract_text().replace("\xa0", " ").count("Lot 7") == 4


def test_a_sheet_of_her_own_is_described_by_its_measures(client: httpx.Client) -> None:
    """Millimetres and inches, a bare number is millimetres; the label has that size."""
    page = client.get(AT, params=OWN | LOT).text
    assert "to mend" not in page
    assert page.count('class="p-cell') == 6
    assert "90 × 57.1 mm" in page
    answer = client.get(f"{AT}.pdf", params=OWN | LOT)
    assert answer.headers["content-type"] == "application/pdf"


def test_a_strip_goes_around_the_jar_with_everything_on_it(client: httpx.Client) -> None:
    """Its length is that of the vessel's outside and 6 mm; one strip holds all three."""
    form = {"stock": "wrap", "paper": "A4", "strip": "60 mm", "front.net": "226 g ℮"}
    form |= {"front.count": "2", "fire.count": "1", "hazard.count": "1"}
    page = client.get(AT, params=form).text
    assert "to mend" not in page, page
    around = re.search(r"Around: ([\d.]+) mm, and 6 mm to overlap", page)
    size = re.search(r"([\d.]+) × 60 mm, 2 of them", page)
    assert around
    assert size
    assert float(size[1]) == pytest.approx(float(around[1]) + 6, abs=0.06)
    (picture,) = re.findall(r'<img src="([^"]+wrap\.svg[^"]+)" alt="([^"]*)"', page)
    for words in ("Low Water", "WARNING", "226 g"):
        assert words in picture[1].replace("\xa0", " ")
    assert client.get(picture[0].replace("&amp;", "&")).status_code == 200
    paper = client.get(f"{AT}.pdf", params=form)
    assert paper.headers["content-type"] == "application/pdf"
    box = pypdf.PdfReader(BytesIO(paper.content)).pages[0].mediabox
    assert box.width > box.height


def test_a_strip_that_cannot_be_is_refused_in_its_place(client: httpx.Client) -> None:
    """Higher than the jar; a barcode has no place on it."""
    form = {"stock": "wrap", "front.count": "1", "front.net": "226 g"}
    for change in ({"strip": "300 mm"}, {"strip": "x"}, {"barcode.count": "1"}):
        answer = client.get(AT, params=form | change)
        assert answer.status_code == 422
        slot = re.search(r'id="p-strip">([^<]+)<', answer.text)
        assert slot
        assert slot[1].strip()


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"columns": "3"}, "left"),
        ({"columns": "0"}, "columns"),
        ({"columns": "x"}, "columns"),
        ({"pitch_x": "50 mm"}, "pitch_x"),
        ({"width": ""}, "width"),
        ({"width": "8 oz"}, "width"),
        ({"right": "3 m"}, "right"),
        ({"start": "99"}, "start"),
        ({"lot.count": "100000"}, "lot.count"),
        ({"lot.count": "-1"}, "lot.count"),
        ({"lot.number": ""}, "lot.number"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_in_its_place(
    client: httpx.Client, change: dict[str, str], place: str
) -> None:
    """On the page and instead of the paper; what was typed stays."""
    for path in (AT, f"{AT}.pdf"):
        answer = client.get(path, params=OWN | LOT | change)
        assert answer.status_code == 422
        assert f'href="#f-{place.replace(".", "-").replace("_", "-")}"' in answer.text
        assert 'name="pitch_y" value="60"' in answer.text


def test_a_text_that_does_not_fit_is_an_error_and_never_a_silent_shrink(
    client: httpx.Client,
) -> None:
    """The hazard label on a label of one inch: which minimum would be broken is said."""
    answer = client.get(AT, params={"stock": "Letter, 30 of 2 5/8 × 1 in", "hazard.count": "30"})
    assert answer.status_code == 422
    slot = re.search(r'id="p-hazard-count">([^<]+)<', answer.text)
    assert slot
    assert "mm" in slot[1]
    assert "/labels/hazard.svg" not in answer.text


def test_a_wrong_check_digit_is_said_and_no_number_is_ever_made_up(client: httpx.Client) -> None:
    """4006381333931 is the worked example of the check digit; its last digit is 1, not 2."""
    form = {"stock": EIGHT, "barcode.count": "1"}
    wrong = client.get(AT, params=form | {"barcode.gtin": "4006381333932"})
    assert wrong.status_code == 422
    slot = re.search(r'id="p-barcode-gtin">([^<]+)<', wrong.text)
    assert slot
    assert "call for 1" in slot[1]
    assert client.get(AT, params=form | {"barcode.gtin": ""}).status_code == 422
    assert client.get(AT, params=form | {"barcode.gtin": "4006381333931"}).status_code == 200


HOSTILE = (
    "<script>alert(1)</script>",
    "'\"><img src=x onerror=alert(1)>",
    "\x00\x07",
    "#x",
    "x" * 800,
)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field_is_refused_or_set_as_words(
    client: httpx.Client, text: str
) -> None:
    """No crash, no markup of hers, on the page, in the picture and on the paper."""
    names = re.findall(r'<(?:input|select)[^>]* name="([\w.]+)"', client.get(AT).text)
    assert len(names) > 25
    everywhere = urlencode(dict.fromkeys(names, text))
    words = {
        name: text for name in names if name.split(".")[-1] in {"name", "kind", "maker", "net"}
    }
    sensible = urlencode(words | {"stock": EIGHT, "front.count": "1", "start": "1"})
    for query in (everywhere, sensible):
        for path in (AT, f"{AT}.pdf", f"{AT}/front.svg"):
            answer = client.get(f"{path}?{query}")
            assert answer.status_code in {200, 404, 422}, answer.text[:300]
            if answer.headers["content-type"].startswith("text/html"):
                assert "<script>alert" not in answer.text
                assert "<img src=x" not in answer.text


@pytest.mark.parametrize("kind", ["moon", "front%00", "..%2F..%2Fx"])
def test_a_label_that_is_not_there_is_not_there(client: httpx.Client, kind: str) -> None:
    """Said calmly."""
    assert client.get(f"{AT}/{kind}.svg").status_code == 404


def test_the_page_is_quick(client: httpx.Client) -> None:
    """The quickest of some answers stays under 50 ms."""

    def once() -> float:
        begun = time.perf_counter()
        assert client.get(AT).status_code == 200
        return time.perf_counter() - begun

    assert min(once() for _ in range(8)) < 0.05
