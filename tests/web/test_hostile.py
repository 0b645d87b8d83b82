"""Hostile text and broken posts: shown as words, refused with a reason, never a crash."""

from __future__ import annotations

import re
from collections.abc import Iterator

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.web.app import create_app
from rushlight.workshop import Workshop
from tests.support.serving import serve

SCRIPT = "<script>alert(1)</script>"
HOSTILE = (
    SCRIPT,
    "'\"><img src=x onerror=alert(1)>",
    "{{7*777777}}",
    "\x00\x07",
    "𝟙𝟚 g",
    "x" * 5000,
)


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


FORMS = {
    "/candles/new": ("name", "note", "vessel.use", "vessel.brim", "fill.headspace", "wax.use",
                     "fragrance.load", "fragrance.oils.0.use", "wick.use", "wick.trim",
                     "dyes.0.amount", "additives.0.percent", "finishes.0.use", "batch.jars"),
    "/candles/slipway/pour": ("name", "fill.headspace", "batch.jars", "batch.residue", "day"),
    "/stores/new": ("role", "name", "note", "kind", "low_at", "facts.pour", "origin.pour"),
    "/stores/millpond-soy/move": ("move", "amount", "note"),
    "/stores/millpond-soy/price": ("supplier", "pack", "price", "from_packs", "since"),
    "/settings": ("name", "residue", "spill", "currency", "labour.0.time", "pitcher_diameter"),
    "/channels/new": ("name", "kind", "aim", "target", "percent"),
    "/stores/salt-timber/sheet": ("rows", "flash_point", "ph", "viscosity", "dated", "note"),
    "/stores/salt-timber/certificate": ("standing", "limit", "category", "amendment", "issued"),
    "/netweight": ("candle", "pour", "label", "weights", "tare", "jars", "diameter", "height"),
    "/netweight/keep": ("candle", "pour", "label", "weights", "tare", "jars", "opened", "note"),
    "/pours/7/tick": ("pot", "line", "actual"),
    "/pours/7/read": ("pot", "temperature"),
    "/pours/7/timer": ("pot", "name", "time"),
    "/pours/7/finish": ("pot", "good", "rejected", "note"),
}  # fmt: skip


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_every_field_is_refused_or_shown_as_words(
    client: httpx.Client, form: str, text: str
) -> None:
    """No crash, no markup of hers in the page, no blank refusal."""
    answer = client.post(form, data=dict.fromkeys(FORMS[form], text))
    assert answer.status_code in {303, 404, 409, 422}, answer.text[:500]
    assert SCRIPT not in answer.text
    assert "<img src=x" not in answer.text
    assert str(7 * 777777) not in answer.text
    if answer.status_code == 422:
        assert "to mend" in answer.text or 'class="problem"' in answer.text


def test_a_script_in_a_name_is_only_words_on_every_page(client: httpx.Client) -> None:
    """Saved, listed, drawn, planned, priced and undone: always escaped."""
    page = client.get("/candles/slipway").text
    fields = dict(re.findall(r'name="([\w.]+)" value="([^"]*)"', page))
    fields |= {"name": SCRIPT, "vessel.use": "Harbour tumbler", "wax.use": "Millpond soy"}
    fields |= {"wick.use": "Flat cotton 10", "fragrance.basis": "of wax", "fill.state": "when set"}
    saved = client.post("/candles/new/pour", data=fields)
    assert saved.status_code == 303, saved.text[-3000:]
    pour = saved.headers["location"]
    slug = re.search(r"/candles/([\w-]+)\?", client.get(pour).text)
    assert slug
    for place in (
        pour,
        f"/candles/{slug[1]}",
        f"/candles/{slug[1]}/price",
        "/candles",
        "/",
        "/done",
    ):
        text = client.get(place).text
        assert SCRIPT not in text, place
        assert "&lt;script&gt;" in text, place


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    fields=st.dictionaries(
        st.sampled_from(FORMS["/candles/new"]) | st.text(max_size=12),
        st.text(max_size=40) | st.sampled_from(["12 mm", "8 %", "900 %", "4 m", "-3 g", "1e999"]),
        max_size=14,
    )
)
def test_the_live_drawing_never_fails(client: httpx.Client, fields: dict[str, str]) -> None:
    """Whatever stands in the form while she types, the answer is a drawing or a reason."""
    answer = client.post("/draw", data=fields)
    assert answer.status_code == 200, answer.text[:300]
    assert 'id="problems"' in answer.text


def test_the_same_form_sent_twice_is_done_once(client: httpx.Client) -> None:
    """A double touch with waxy hands books one delivery."""

    def in_hand() -> str:
        found = re.search(
            r"wax, ([\d\s  ,.]+ k?g) in hand", client.get("/stores/millpond-soy").text
        )
        assert found
        return found[1]

    form = {"move": "receive", "amount": "5 kg", "key": "one-touch"}
    client.post("/stores/millpond-soy/move", data=form)
    once = in_hand()
    client.post("/stores/millpond-soy/move", data=form)
    assert in_hand() == once
    client.post("/stores/millpond-soy/move", data=form | {"key": "another"})
    assert in_hand() != once


@pytest.mark.parametrize("deed", ["fly", "start%00", "../settings"])
def test_an_unknown_deed_at_the_bench_is_not_there(client: httpx.Client, deed: str) -> None:
    """Said calmly."""
    assert client.post(f"/pours/7/{deed}", data={"pot": "1"}).status_code in {404, 405}


@pytest.mark.parametrize("pot", ["", "0", "99", "x", "1e3", "９", "-1", "9" * 30])
def test_a_pot_that_is_not_there_is_not_there(client: httpx.Client, pot: str) -> None:
    """No number, no pot."""
    answer = client.post("/pours/7/read", data={"pot": pot, "temperature": "80 C"})
    assert answer.status_code == 404


def test_a_cross_site_post_writes_nothing(client: httpx.Client) -> None:
    """A page elsewhere cannot book a delivery."""
    before = client.get("/stores/millpond-soy").text.count("received")
    answer = client.post(
        "/stores/millpond-soy/move",
        data={"move": "receive", "amount": "5 kg"},
        headers={"sec-fetch-site": "cross-site"},
    )
    assert answer.status_code == 403
    assert client.get("/stores/millpond-soy").text.count("received") == before
