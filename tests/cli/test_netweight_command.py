"""`rushlight netweight`: weighed jars against the label."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from rushlight.cli.main import app

Run = Callable[..., Any]
# worked example (computed, not published): label 227 g, lot of 40, twelve weighed
ERRORS = (1.2, -0.8, 0.4, -1.5, 0.9, -0.3, -2.1, 0.7, -0.6, 0.2, -1.1, -0.4)
WEIGHTS = [f"{227 + error:.1f}" for error in ERRORS]


def test_the_worked_example_passes_category_a(run: Run) -> None:
    """Mean −0.2833 g, s 1.00438, factor t(0.975, 11)/√12 = 0.635: 0.6378 allowed."""
    data = run("netweight", *WEIGHTS, "--label", "227 g", "--lot", "40", "--json").data
    test = data["hb133"]
    assert test["passes"]
    assert test["mean_error_g"] == pytest.approx(-0.2833, abs=5e-4)
    assert test["sampling_allowance_g"] == pytest.approx(0.6378, abs=1e-3)
    assert data["weighed_jars"] == 12
    assert data["lot_jars"] == 40


def test_the_same_batch_under_the_mean_fails_in_europe(run: Run) -> None:
    """Under 100 all are weighed, and the mean must reach the quantity."""
    ran = run("netweight", *WEIGHTS, "--label", "227 g", "--rule", "eu", "--json")
    assert ran.status == 0  # an answer, not a mistake of hers
    assert not ran.data["eu"]["passes"]
    assert ran.data["hb133"] is None
    assert [aim["test"] for aim in ran.data["aims"]] == ["76/211/EEC"]


def test_a_second_sample_is_asked_for(run: Run) -> None:
    """Two of thirty below T1 in a batch of 200 leave it open."""
    light = ["170", "170", *["184"] * 28]
    data = run("netweight", *light, "--label", "180 g", "--lot", "200", "--json").data
    assert (data["eu"]["undecided"], data["eu"]["further_jars"]) == (True, 30)
    opened = run(
        "netweight", *light[:20], "--label", "180 g", "--lot", "200", "--opened", "--json"
    ).data
    assert (opened["eu"]["undecided"], opened["eu"]["passes"]) == (False, False)


def test_weights_come_from_a_file_or_a_pipe(run: Run, tmp_path: Path) -> None:
    """One a line; a comma inside a number is a point."""
    path = tmp_path / "weights.txt"
    path.write_text("\n".join(weight.replace(".", ",") for weight in WEIGHTS), "utf-8")
    from_file = run("netweight", "--file", path, "--label", "227 g", "--json").data
    piped = CliRunner().invoke(
        app, ["netweight", "--label", "227 g", "--json"], input=" ".join(WEIGHTS)
    )
    assert piped.exit_code == 0
    assert f'"mean_g": {from_file["mean_g"]}' in piped.stdout


def test_the_words_are_for_a_person(run: Run) -> None:
    """Verdict, figures, aim; never "complies"."""
    out = run("netweight", *WEIGHTS, "--label", "8 oz (226 g)").out
    for word in ("Category A", "76/211/EEC", "Aim for", "T1", "working aid"):
        assert word in out
    assert "complies" not in out


def test_every_problem_is_said_at_once(run: Run) -> None:
    """No label, a word, a lot smaller than its weights, a share over 100 %."""
    typed = ("netweight", "226", "x", "227", "--lot", "1", "--passing", "110 %", "--json")
    ran = run(*typed, "--tare", "y")
    assert ran.status == 2
    places = {problem["place"] for problem in ran.problems}
    assert places == {"--label", "weights.1", "--lot", "--passing", "--tare"}


@pytest.mark.parametrize("weights", ["=1+1", "226; rm -rf", "1e9", "9" * 400, "½"])
def test_what_is_no_weight_is_refused(run: Run, weights: str) -> None:
    """Formula text and absurd numbers, as problems and not as faults."""
    assert run("netweight", weights, "--label", "226 g", "--json").status == 2


def test_a_file_that_cannot_be_weights(run: Run, tmp_path: Path) -> None:
    """Missing, binary, huge, or beside typed weights."""
    path = tmp_path / "w.txt"
    assert run("netweight", "--file", path, "--label", "226 g", "--json").status == 2
    path.write_bytes(b"\xff\x00\xfe")
    assert run("netweight", "--file", path, "--label", "226 g", "--json").status == 2
    path.write_text("226 " * 20_000)
    assert run("netweight", "--file", path, "--label", "226 g", "--json").status == 2
    path.write_text("226 227")
    assert run("netweight", "226", "--file", path, "--label", "226 g", "--json").status == 2
    assert run("netweight", "--file", path, "--label", "226 g").status == 0
