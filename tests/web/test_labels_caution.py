"""The caution for US households on the page of labels."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from io import BytesIO

import httpx
import pypdf
import pytest

from rushlight.errors import BadInput
from rushlight.hazard.us_caution import kinds
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.household import Household
from rushlight.press.labels.net import panel_of
from rushlight.web.app import create_app
from rushlight.web.declared import front_of
from rushlight.web.labelmakers import KINDS, MAKERS, jar_of
from rushlight.web.labelset import PLACES, begun
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, settings
from tests.support.serving import serve

AT = "/candles/boathouse-tea/labels"
EIGHT = "A4, 8 of 99.1 × 67.7 mm"
MAKER = "The Old Boathouse (invented), Nowhere Reach, ME 00000"
FORM: dict[str, str | list[str]] = {
    "stock": EIGHT,
    "start": "1",
    "caution.count": "3",
    "caution.hazards": ["sensitizer", "eye irritant"],
    "caution.maker": MAKER,
}


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


def order(page: str) -> list[str]:
    """Return the kinds of label in the order in which the page offers them."""
    return re.findall(r'id="kind-(\w+)"', page)


def slot(page: str, place: str) -> str:
    """Return what is said in the place of a field."""
    found = re.search(rf'id="p-{place}">([^<]*)<', page)
    assert found
    return unescape(found[1]).strip()


def test_every_kind_offered_has_a_maker_and_places_for_its_problems(client: httpx.Client) -> None:
    """None is forgotten in one of the tables, or in the form."""
    assert KINDS.keys() == MAKERS.keys() == PLACES.keys()
    assert sorted(order(client.get(AT).text)) == sorted(KINDS)


def test_elsewhere_the_caution_is_only_offered(client: httpx.Client) -> None:
    """A workshop that sells in Great Britain: further down, closed, no number typed."""
    page = client.get(AT).text
    assert order(page)[:4] == ["front", "fire", "hazard", "caution"]
    assert re.search(r'name="caution.count" value=""', page)
    assert re.search(r'<details class="kind" id="kind-caution">', page)


def test_where_the_workshop_sells_in_the_us_the_caution_comes_first(
    workshop: Workshop, client: httpx.Client
) -> None:
    """First and open; no label is asked for as long as nothing settles that it has a hazard."""
    settings.change(workshop, {"law": "US"})
    page = client.get(AT).text
    assert order(page)[0] == "caution"
    assert re.search(r'<details class="kind" id="kind-caution" open>', page)
    assert re.search(r'name="caution.count" value=""', page)
    assert "to mend" not in page


def test_a_listed_sensitizer_asks_for_the_caution_without_being_ticked(
    workshop: Workshop,
) -> None:
    """Oil of bergamot from 2 % of the product on (16 CFR 1500.13, from memory)."""
    from rushlight.workshop import candles, hazards

    settings.change(workshop, {"law": "US"})
    jar = jar_of(workshop, "boathouse-tea")
    assert begun(jar)["caution.count"] == ""
    for line in hazards.listing(workshop):
        if line.role == "fragrance":
            hazards.save_sheet(workshop, line.material, {"rows": "Bergamot,8007-75-8,90,H317"})
    assert candles.get(workshop, "boathouse-tea").document["fragrance"]
    fresh = jar_of(workshop, "boathouse-tea")
    assert begun(fresh)["caution.count"] == begun(fresh)["front.count"] != ""
    told = MAKERS["caution"](fresh, Blank({"caution.maker": MAKER}))
    assert isinstance(told, Household)
    assert "oil of bergamot" in told.said.contains


def test_the_preview_and_the_paper_show_the_caution(client: httpx.Client) -> None:
    """Its elements in words for a reader by ear, as a picture, and three times on the sheet."""
    page = client.get(AT, params=FORM)
    assert page.status_code == 200
    (picture,) = re.findall(r'<img src="([^"]+)" alt="([^"]*)"', page.text)
    words = unescape(picture[1]).replace("\xa0", " ")
    for element in (
        *("WARNING", "MAY CAUSE ALLERGIC SKIN REACTION. EYE IRRITANT."),
        *("Contains: Linalyl acetate, d-Limonene.", "FIRST AID: If on skin"),
        *("KEEP OUT OF REACH OF CHILDREN.", MAKER),
    ):
        assert element in words
    drawn = client.get(unescape(picture[0]))
    assert drawn.headers["content-type"] == "image/svg+xml"
    assert page.text.count('name="caution.hazards"') == len(kinds())
    for kind in kinds():
        ticked = f'value="{kind}" checked' in page.text
        assert ticked == (kind in FORM["caution.hazards"])
    paper = client.get(f"{AT}.pdf", params=FORM)
    text = pypdf.PdfReader(BytesIO(paper.content)).pages[0].extract_text()
    assert text.count("WARNING") == 3


def test_names_typed_stand_for_those_of_the_data_sheets(client: httpx.Client) -> None:
    """A comma within a chemical name parts nothing."""
    page = client.get(AT, params=FORM | {"caution.contains": "1,8-cineole, citral; linalool"})
    assert "Contains: 1,8-cineole, citral, linalool." in page.text


@pytest.mark.parametrize(
    ("change", "place", "says"),
    [
        ({"caution.hazards": ""}, "hazards", "Nothing here settles"),
        ({"caution.hazards": "dull"}, "hazards", "no statement for “dull”"),
        ({"caution.maker": ""}, "maker", "15 USC 1261(p)"),
        ({"caution.count": "x"}, "count", "is not a number"),
        ({"stock": "wrap", "strip": "20 mm"}, "strip", "does not go on the strip"),
    ],
)
def test_what_is_missing_is_said_in_its_place(
    client: httpx.Client, change: dict[str, str | list[str]], place: str, says: str
) -> None:
    """On the page and instead of the paper; what was typed stays."""
    where = place if place == "strip" else f"caution-{place}"
    for path in (AT, f"{AT}.pdf"):
        answer = client.get(path, params=FORM | change)
        assert answer.status_code == 422
        assert says in slot(answer.text, where)
        assert f'href="#f-{where}"' in answer.text
        assert f'id="f-{where}"' in answer.text


def test_components_nobody_named_are_asked_for(client: httpx.Client) -> None:
    """First Swim has no data sheet that names any."""
    answer = client.get(AT.replace("boathouse-tea", "first-swim"), params=FORM)
    assert answer.status_code == 422
    assert "names of the hazardous components are missing" in slot(answer.text, "caution-contains")


def test_a_caution_that_does_not_fit_names_the_rule_it_would_break(client: httpx.Client) -> None:
    """Never a silent shrink: the least capitals are those of 16 CFR 1500.121."""
    answer = client.get(AT, params=FORM | {"stock": "Letter, 30 of 2 5/8 × 1 in"})
    assert answer.status_code == 422
    assert "16 CFR 1500.121: capitals of" in slot(answer.text, "caution-count")
    assert "/labels/caution.svg" not in answer.text


def test_a_material_without_a_data_sheet_is_named_beside_the_caution(
    client: httpx.Client,
) -> None:
    """The names on the label are then not all that there may be."""
    page = client.get(AT.replace("boathouse-tea", "low-water"), params=FORM).text
    assert "Not counted, for want of a safety data sheet: Slate blue block." in page


@pytest.mark.parametrize(
    "text", ["<script>alert(1)</script>", "'\"><img src=x onerror=alert(1)>", "#x $y$ *z*"]
)
@pytest.mark.parametrize("name", ["hazards", "contains", "maker"])
def test_hostile_text_on_the_caution_stays_words(
    client: httpx.Client, name: str, text: str
) -> None:
    """Set as words, or refused as no hazard; never markup of the page or of the label."""
    form = FORM | {f"caution.{name}": text}
    answer = client.get(AT, params=form)
    assert answer.status_code == (422 if name == "hazards" else 200)
    assert "<script>alert" not in answer.text
    assert "<img src=x" not in answer.text
    if name != "hazards":
        assert text in unescape(answer.text)
        drawn = client.get(f"{AT}/caution.svg", params=form).text
        assert "<script" not in drawn
        assert "onerror" not in drawn
        paper = client.get(f"{AT}.pdf", params=form)
        said = pypdf.PdfReader(BytesIO(paper.content)).pages[0].extract_text()
        printed = "".join(said.replace("\u200b", "").split())  # a line may break after a slash
        assert "".join(text.split()) in printed


def test_the_front_and_the_caution_go_by_the_panel_of_the_jar(workshop: Workshop) -> None:
    """40 % of the outer height, base included, × circumference (16 CFR 500.21)."""
    settings.change(workshop, {"law": "US", "net_quantity": "us"})
    jar = jar_of(workshop, "low-water")
    vessel = jar.sheet.candle.vessel
    assert jar.panel == panel_of(vessel)
    typed = begun(jar) | {"caution.hazards": "eye irritant"}
    front = MAKERS["front"](jar, Blank(typed))
    assert front.panel is not None  # type: ignore[union-attr]
    assert front.panel.area == panel_of(vessel)  # type: ignore[union-attr]
    seen = front_of(vessel)
    assert seen
    assert seen.area == pytest.approx(panel_of(vessel))


def test_a_us_maker_is_given_no_pictograms_unless_she_asks(workshop: Workshop) -> None:
    """The refusal says what to print instead; her setting lifts it."""
    settings.change(workshop, {"law": "US"})
    jar = jar_of(workshop, "low-water")
    typed = Blank({"hazard.law": "US", "hazard.language": "en"})
    with pytest.raises(BadInput, match="comes under the FHSA") as refused:
        MAKERS["hazard"](jar, typed)
    assert "caution for US households" in refused.value.problems[0].remedy
    settings.change(workshop, {"pictograms": "yes"})
    assert isinstance(MAKERS["hazard"](jar, typed), Hazard)
