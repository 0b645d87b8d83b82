"""`rushlight pour`: from a plan to jars with a code and their true cost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def planned(run: Run, place: object, jars: int = 6, spares: int = 0) -> dict[str, Any]:
    """Plan some of Slipway; return the pour."""
    batch = ("--jars", jars, "--spares", spares)
    ran = run("pour", "plan", "slipway", *batch, "--workshop", place, "--json")
    assert ran.status == 0, ran.out
    return dict(ran.data)


def lots(run: Run, place: object, material: str) -> dict[str, dict[str, Any]]:
    """Return the lots of a material by their code."""
    ran = run("stock", "lots", material, "--empty", "--workshop", place, "--json")
    return {lot["lot"]: lot for lot in ran.data["lots"]}


def of(pour: dict[str, Any], material: str) -> dict[str, Any]:
    """Return the need of a material."""
    return next(need for need in pour["needs"] if need["material"] == material)


def test_a_pour_from_plan_to_jars(run: Run, demo_place: str) -> None:
    """Lots are held, then drawn; what is left goes back; the jars are a lot at their true cost."""
    pour = planned(run, demo_place, spares=1)
    number = pour["pour"]
    assert (pour["state"], pour["planned_jars"], pour["truth"]) == ("planned", 6, None)
    soy = next(lot for lot in of(pour, "millpond-soy")["lots"] if lot["taken_g"])
    before = lots(run, demo_place, "Millpond soy")[soy["lot"]]
    where = ("--workshop", demo_place, "--json")
    assert run("pour", "start", number, "--person", "Ann", *where).data["state"] == "running"
    held = lots(run, demo_place, "Millpond soy")[soy["lot"]]
    assert held["held_g"] == before["held_g"] + soy["taken_g"]
    typed = ("--good", "5", "--rejected", "sinkhole=1", "--left", "Millpond soy=120 g returned")
    done = run("pour", "finish", number, *typed, "--note", "fine", *where).data
    assert (done["state"], done["good_jars"], done["rejected_jars"]) == ("finished", 5, 1)
    assert done["rejects"] == [{"reason": "sinkhole", "jars": 1}]
    assert (done["person"], done["note"]) == ("Ann", "fine")
    after = lots(run, demo_place, "Millpond soy")[soy["lot"]]
    assert after["left_g"] == pytest.approx(before["left_g"] - soy["taken_g"] + 120)
    assert after["held_g"] == before["held_g"]
    jars = run("stock", "jars", *where).data["lots"]
    made = next(lot for lot in jars if lot["lot"] == done["jar_lot"])
    assert (made["pour"], made["made_jars"]) == (number, 5)
    truth = done["truth"]
    assert made["value"] == truth["total_cost"]["actual"]
    parts = ("material_cost", "labour_cost", "overhead_cost")
    total = sum(truth[part]["actual"] for part in parts)
    assert truth["total_cost"]["actual"] == pytest.approx(total, abs=1e-4)
    assert truth["jar_cost"]["actual"] == pytest.approx(total / 5, abs=1e-4)


def test_another_lot_is_taken_when_it_is_named(run: Run, workshop_file: Path) -> None:
    """By the name of its material, by its short name, or by the number of the need."""
    for say in ("Millpond soy", "millpond-soy", "need"):
        pour = planned(run, workshop_file)
        need = of(pour, "millpond-soy")
        other = next(lot for lot in need["lots"] if not lot["taken_g"] and lot["free_g"] > 100)
        said = need["need"] if say == "need" else say
        choice = f"{said}={other['lot']}:100 g"
        where = ("--workshop", workshop_file, "--json")
        ran = run("pour", "start", pour["pour"], "--lot", choice, *where)
        assert ran.status == 0, ran.out
        taken = {lot["lot"]: lot["taken_g"] for lot in of(ran.data, "millpond-soy")["lots"]}
        assert {lot for lot, grams in taken.items() if grams} == {other["lot"]}
        assert taken[other["lot"]] == 100


def test_it_is_told_to_a_person(run: Run, workshop_file: Path) -> None:
    """The plan with its lots, then planned beside true, with the code of the jars."""
    where = ("--workshop", workshop_file)
    number = planned(run, workshop_file)["pour"]
    ran = run("pour", "start", number, "--lot", "Millpond soy=M35-9:1 kg", *where)
    assert ran.status == 0, ran.err
    assert "M35-9" in ran.out
    assert "Short of: Millpond soy" in ran.out
    ran = run("pour", "finish", number, "--rejected", "1", *where)
    assert ran.status == 0, ran.err
    said = " ".join(ran.out.split())
    code = run("pour", "show", number, *where, "--json").data["jar_lot"]
    assert f"Lot {code}, out of cure on" in said
    assert "1 rejected (Other 1)" in said
    assert "A jar £" in said
    listed = run("pour", "list", "--state", "running", *where)
    assert "Boathouse Tea" in listed.out
    assert "Slipway" not in listed.out
    assert run("pour", "list", "--limit", "1", *where, "--json").data["pours"][0]["pour"]


def test_every_problem_of_a_finish_is_said_at_once(run: Run, workshop_file: Path) -> None:
    """Of each reason and each leftover, as typed; nothing is finished."""
    where = ("--workshop", workshop_file, "--json")
    typed = ("--rejected", "gremlins=1", "--left", "Ghost=1 g", "--left", "Millpond soy")
    ran = run("pour", "finish", 7, *typed, *where)
    assert (ran.status, [problem["place"] for problem in ran.problems]) == (
        2,
        ["--rejected gremlins=1", "--left Ghost=1 g", "--left Millpond soy"],
    )
    assert "sinkhole" in ran.problems[0]["remedy"]
    assert "Millpond soy" in ran.problems[1]["remedy"]
    typed = ("--good", "-1", "--left", "Millpond soy=900 kg", "--rejected", "soot=x")
    places = {problem["place"] for problem in run("pour", "finish", 7, *typed, *where).problems}
    assert places == {"--good", "--left Millpond soy=900 kg", "--rejected soot=x"}
    assert run("pour", "show", 7, *where).data["state"] == "running"


@pytest.mark.parametrize(
    ("choice", "place"),
    [
        ("nonsense", "--lot nonsense"),
        ("Ghost=M35-9:1 g", "--lot Ghost=M35-9:1 g"),
        ("Millpond soy=M35-8:1 g", "--lot Millpond soy=M35-8:1 g"),
        ("Millpond soy=M35-9:900 kg", "--lot Millpond soy=M35-9:900 kg"),
        ("Millpond soy=M37-5:1 g", "--lot Millpond soy=M37-5:1 g"),
    ],
)
def test_a_lot_that_cannot_be_is_refused_as_typed(
    run: Run, workshop_file: Path, choice: str, place: str
) -> None:
    """No need, a slip in the code, too much, a lot of something else; the pour stays planned."""
    number = planned(run, workshop_file)["pour"]
    where = ("--workshop", workshop_file, "--json")
    ran = run("pour", "start", number, "--lot", choice, *where)
    assert (ran.status, ran.problems[0]["place"]) == (2, place)
    assert run("pour", "show", number, *where).data["state"] == "planned"


def test_the_same_thing_told_twice_is_refused(run: Run, workshop_file: Path) -> None:
    """Never the last of them in silence."""
    where = ("--workshop", workshop_file, "--json")
    for option, text in (
        ("--rejected", "sinkhole=1"),
        ("--left", "Millpond soy=1 g"),
    ):
        ran = run("pour", "finish", 7, option, text, option, text, *where)
        assert (ran.status, "twice" in ran.problems[0]["what"]) == (2, True)


def test_what_is_not_in_a_state_for_it_is_refused(run: Run, workshop_file: Path) -> None:
    """One line, exit 2."""
    where = ("--workshop", workshop_file)
    for words, said in (
        (("finish", 1), "finished"),
        (("start", 7), "running"),
        (("show", 9999), "no pour 9999"),
    ):
        ran = run("pour", *words, *where)
        assert (ran.status, len(ran.err.splitlines())) == (2, 1)
        assert said in ran.err
    ran = run("pour", "plan", "slipway", "--jars", "many", "--day", "soon", *where, "--json")
    assert {problem["place"] for problem in ran.problems} == {"--jars", "--day"}
    ran = run("pour", "plan", "No such candle", *where)
    assert ran.err.startswith("CANDLE: ")


def test_more_used_than_in_hand_asks_why(run: Run, workshop_file: Path) -> None:
    """Told why, it writes the count that was wrong, and goes on."""
    where = ("--workshop", workshop_file, "--json")
    number = planned(run, workshop_file, jars=900)["pour"]
    assert run("pour", "start", number, *where).status == 0
    ran = run("pour", "finish", number, *where)
    assert ran.status == 2
    assert {problem["place"] for problem in ran.problems} == {"--count-wrong"}
    ran = run("pour", "finish", number, "--count-wrong", "a sack was not booked", *where)
    assert ran.status == 0, ran.out
    assert ran.data["good_jars"] == 900


def test_a_count_that_cannot_be_is_asked_about(run: Run, workshop_file: Path) -> None:
    """60 for 6 makes no jars out of nothing; told why, it goes through and the note keeps it."""
    where = ("--workshop", workshop_file, "--json")
    number = planned(run, workshop_file)["pour"]
    assert run("pour", "start", number, *where).status == 0
    ran = run("pour", "finish", number, "--good", "60", *where)
    assert (ran.status, [problem["place"] for problem in ran.problems]) == (2, ["--jars-differ"])
    assert "60 good and none rejected are 54 too many" in ran.problems[0]["what"]
    assert run("pour", "show", number, *where).data["state"] == "running"
    few = ("pour", "finish", number, "--good", "4", "--rejected", "soot=1")
    assert "leave 1 unaccounted for" in run(*few, *where).problems[0]["what"]
    ran = run(*few, "--jars-differ", "one fell", "--note", "Windy", *where)
    assert ran.status == 0, ran.out
    assert ran.data["good_jars"] == 4
    assert ran.data["note"].splitlines() == [
        "Windy",
        "6 jars were poured; 4 good and 1 rejected leave 1 unaccounted for. one fell",
    ]


def test_hostile_text_is_shown_as_it_stands(run: Run, workshop_file: Path) -> None:
    """In a person's name and in a note; what steers a terminal is refused."""
    where = ("--workshop", workshop_file)
    ran = run("pour", "finish", 7, "--person", "[red]x[/red]", "--note", "<b>=1+1", *where)
    assert ran.status == 0, ran.err
    assert "[red]x[/red]" in ran.out
    assert "<b>=1+1" in ran.out
    ran = run("pour", "start", planned(run, workshop_file)["pour"], "--person", "\x1b[2J", *where)
    assert (ran.status, "\x1b" in ran.err) == (2, False)
    assert ran.err.startswith("--person: ")
