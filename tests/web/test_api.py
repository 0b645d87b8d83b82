"""The JSON interface against its own description, and its one error shape."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import Case
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import positive_data_acceptance

from rushlight.web.app import create_app
from rushlight.workshop import Workshop
from tests.support.serving import serve

# What makes a candle cannot be said in a schema: that refusal is the reader's own business.
UNSAID: dict[str, list[Any]] = {"POST /api/sheet": [positive_data_acceptance]}


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


def _ask(cases: st.SearchStrategy[Case[Any]], but: list[Any]) -> None:
    @settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
    @given(case=cases)
    def ask(case: Case[Any]) -> None:
        case.call_and_validate(excluded_checks=but)

    ask()


def test_every_answer_is_as_described(client: httpx.Client) -> None:
    """No server error, no undescribed status, no body of another shape, whatever is asked."""
    schema = schemathesis.openapi.from_url(f"{client.base_url}/api/openapi.json")
    operations = [found.ok() for found in schema.get_all_operations() if isinstance(found, Ok)]
    for operation in operations:
        _ask(operation.as_strategy(), UNSAID.get(operation.label, []))
    tried = [operation.label for operation in operations]
    assert sorted(tried) == [
        "GET /api/candles",
        "GET /api/candles/{slug}",
        "GET /api/pours/{pour}/pots/{pot}/window",
        "POST /api/sheet",
    ]


def test_a_sheet_is_worked_out_without_being_written(client: httpx.Client) -> None:
    """The same figures as the page, with units in the keys."""
    document = client.get("/api/candles/slipway").json()["document"]
    answer = client.post("/api/sheet", json={"document": document, "batch": {"jars": "6"}}).json()
    assert answer["batch"]["jars"] == 6
    jar = answer["jar"]
    assert jar["fill_mass_g"] == pytest.approx(sum(line["mass_g"] for line in jar["lines"]))


def test_every_problem_has_a_place_and_a_remedy(client: httpx.Client) -> None:
    """One shape for what she typed, what is not there and what is malformed."""
    document = client.get("/api/candles/slipway").json()["document"]
    document["fill"] = {"headspace": "9 m"}
    for answer, status in (
        (client.post("/api/sheet", json={"document": document}), 422),
        (client.get("/api/candles/nowhere"), 404),
        (client.post("/api/sheet", content=b"{"), 422),
        (client.get("/api/nowhere"), 404),
    ):
        assert answer.status_code == status
        (first, *_) = answer.json()["problems"]
        assert set(first) == {"place", "what", "remedy"}
        assert first["what"]
    said = client.post("/api/sheet", json={"document": document}).json()["problems"][0]
    assert said["place"] == "fill.headspace"


def test_the_window_of_a_pot_is_told(client: httpx.Client) -> None:
    """From the readings of the running pour of the demo."""
    said = client.get("/api/pours/7/pots/1/window").json()
    assert said["opens"] < said["closes"]
    assert said["spread_opens_s"] > 0
