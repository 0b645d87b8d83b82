"""`rushlight export` and `rushlight import`: all of it out and back, lists in."""

from __future__ import annotations

import io
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from rushlight.cli import progress

Run = Callable[..., Any]
LIST = """date,from,item,qty,pack size,Cost,batch,shelf
17/05/2026,Mill Lane,Millpond soy,2,10 kg,52.00,MS-9,top
17/05/2026,Mill Lane,{item},1,500 g,{cost},{batch},top
"""
KINDS = ("--as", "deliveries", "--dates", "dmy", "--column", "price=Cost")


def written(folder: Path, item: str = "Lake mint", cost: str = "38.50", batch: str = "L1") -> Path:
    """Write a list of a delivery."""
    path = folder / "list.csv"
    path.write_text(LIST.format(item=item, cost=cost, batch=batch), "utf-8")
    return path


def test_a_workshop_goes_out_and_comes_back_the_same(
    run: Run, demo_place: str, tmp_path: Path
) -> None:
    """The second archive holds what the first holds, byte for byte but for when it was made."""
    first, second = tmp_path / "first.zip", tmp_path / "second.zip"
    ran = run("export", first, "--workshop", demo_place, "--json")
    assert ran.status == 0, ran.out
    assert (ran.data["file"], ran.data["size_bytes"]) == (str(first), first.stat().st_size)
    copy = tmp_path / "copy.rushlight"
    made = run("import", first, "--into", copy, "--json")
    assert made.status == 0, made.out
    assert made.data == {"file": str(first), "workshop": str(copy), "rows": ran.data["rows"]}
    assert run("export", second, "--workshop", copy).status == 0
    with zipfile.ZipFile(first) as one, zipfile.ZipFile(second) as other:
        assert one.namelist() == other.namelist()
        for name in one.namelist():
            assert name == "manifest.json" or one.read(name) == other.read(name), name
    stock = [run("stock", "--workshop", place, "--json").data for place in (demo_place, copy)]
    assert stock[0] == stock[1]


def test_what_is_there_is_never_written_over(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """Neither by an archive nor by a workshop made of one."""
    archive = tmp_path / "out.zip"
    assert "rows" in run("export", archive, "--workshop", workshop_file).out
    before = archive.read_bytes()
    ran = run("export", archive, "--workshop", workshop_file)
    assert (ran.status, "exists already" in ran.err) == (2, True)
    ran = run("import", archive, "--into", workshop_file)
    assert (ran.status, "exists already" in ran.err) == (2, True)
    assert archive.read_bytes() == before
    ran = run("import", archive, "--into", tmp_path / "new.rushlight")
    assert "rushlight open" in ran.out


def test_the_calendar_is_read_by_others(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """By icalendar; alone or beside an archive, but something is to be written."""
    out = tmp_path / "days.ics"
    ran = run("export", "--calendar", out, "--workshop", workshop_file, "--json")
    assert ran.status == 0, ran.out
    assert ran.data == {
        "file": None, "size_bytes": None, "rows": None, "took_s": None, "calendar": str(out),
    }  # fmt: skip
    names = [str(event["summary"]) for event in Calendar.from_ical(out.read_bytes()).events]
    assert any(name.startswith("Out of cure: ") for name in names)
    ran = run("export", "--workshop", workshop_file)
    assert (ran.status, ran.err.startswith("FILE: ")) == (2, True)


def test_a_list_is_looked_over_and_only_then_written(
    run: Run, workshop_file: Path, tmp_path: Path
) -> None:
    """A first look writes nothing; --write writes all of it."""
    typed = ("import", written(tmp_path), *KINDS, "--workshop", workshop_file)
    before = run("stock", "lots", "--workshop", workshop_file, "--json").data
    ran = run(*typed)
    assert ran.status == 0, ran.err
    said = " ".join(ran.out.split())
    assert "“Cost” is Pack price" in said
    assert "Not read: shelf." in said
    assert "It would be 1 delivery and 2 lots. Add --write to write it." in said
    assert run("stock", "lots", "--workshop", workshop_file, "--json").data == before
    ran = run(*typed, "--write")
    assert (ran.status, "Imported 1 delivery and 2 lots" in ran.out) == (0, True)
    lots = run("stock", "lots", "--workshop", workshop_file, "--json").data["lots"]
    assert {lot["supplier_lot"] for lot in lots} >= {"MS-9", "L1"}
    data = run("import", written(tmp_path, batch="L2"), *KINDS, "--write", *typed[-2:], "--json")
    assert (data.data["written"], data.data["problems"]) == (True, [])
    assert data.data["columns"]["price"] == "Cost"
    assert data.data["deed"] > 0


def test_every_problem_is_said_by_its_row(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """Exit 2, nothing written, with --write or without; a formula is one of them."""
    path = written(tmp_path, item="Ghost", cost="x", batch="=1+1")
    before = run("stock", "lots", "--workshop", workshop_file, "--json").data
    typed = ("import", path, *KINDS, "--write", "--workshop", workshop_file)
    ran = run(*typed)
    assert ran.status == 2
    assert [line.partition(":")[0] for line in ran.err.splitlines()] == [
        *("row 3, item", "row 3, Cost", "row 3, batch"),
    ]
    assert "3 problems; nothing can be written." in ran.out
    ran = run(*typed, "--json")
    assert (ran.status, ran.data["written"], ran.data["deed"]) == (2, False, None)
    problem = ran.data["problems"][0]
    assert list(problem) == ["place", "what", "remedy", "row", "column"]
    assert (problem["row"], problem["column"]) == (3, "item")
    assert run("stock", "lots", "--workshop", workshop_file, "--json").data == before


@pytest.mark.parametrize(
    ("options", "place"),
    [
        (("--column", "price=Nope"), "--column price=Nope"),
        (("--column", "boo=Cost"), "--column boo=Cost"),
        (("--column", "nonsense"), "--column nonsense"),
        (("--column", "material="), "--column material="),
        (("--column", "price=Cost", "--column", "price=qty"), "--column price=qty"),
    ],
)
def test_a_column_that_cannot_be_is_refused_as_typed(
    run: Run, workshop_file: Path, tmp_path: Path, options: tuple[str, ...], place: str
) -> None:
    """No such heading, no such field, neither, one that is needed, one told twice."""
    typed = ("import", written(tmp_path), "--as", "deliveries", "--workshop", workshop_file)
    ran = run(*typed, *options, "--json")
    assert (ran.status, [problem["place"] for problem in ran.problems]) == (2, [place])


def test_materials_and_orders_come_in_too(run: Run, workshop_file: Path, tmp_path: Path) -> None:
    """A column taken by hand goes to no other field."""
    path = tmp_path / "m.csv"
    path.write_text("type,item,note\nwax,[red]Bold soy,<b>\n", "utf-8")
    where = ("--workshop", workshop_file, "--json")
    data = run("import", path, "--as", "materials", *where, "--write").data
    assert data["written"]
    materials = run("stock", *where).data["materials"]
    assert "[red]Bold soy" in {material["name"] for material in materials}
    data = run("import", path, "--as", "materials", *where, "--write").data
    assert (data["written"], data["ready"], data["problems"]) == (False, False, [])
    assert "nothing to write" in run("import", path, "--as", "materials", *where[:2]).out
    path.write_text("placed,channel,product,jars,price\n2026-05-01,Nowhere,Slipway,1,9\n", "utf-8")
    data = run("import", path, "--as", "orders", *where)
    assert (data.status, data.data["problems"][0]["column"]) == (2, "channel")


def test_what_is_to_come_of_a_file_is_asked_for(
    run: Run, workshop_file: Path, tmp_path: Path
) -> None:
    """A list or an archive, not both; a workshop for a list; a file that is there and is one."""
    path = written(tmp_path)
    new = tmp_path / "new.rushlight"
    for typed, place in (
        ((path,), str(path)),
        ((path, "--as", "orders", "--into", new), str(path)),
        ((path, "--as", "orders"), "--workshop"),
        ((path, "--into", new, "--write"), "--write"),
        ((path, "--into", new, "--workshop", workshop_file), "--workshop"),
        ((path, "--into", new), str(path)),
        ((tmp_path / "none.csv", "--as", "orders", "--workshop", workshop_file), str(tmp_path)),
    ):
        ran = run("import", *typed, "--json")
        assert (ran.status, ran.problems[0]["place"].startswith(place)) == (2, True), ran.out
    assert not new.exists()
    ran = run("import", path, "--as", "nonsense", "--workshop", workshop_file)
    assert (ran.status, "rushlight import --help" in ran.err) == (2, True)


def test_progress_is_shown_on_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """On stderr, and gone afterwards; nobody is told anything in a pipe or beside JSON."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    with progress.shown("Writing", quiet=False) as tell:
        assert tell is None
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with progress.shown("Writing", quiet=True) as tell:
        assert tell is None
    with progress.shown("Writing [red]", quiet=False) as tell:
        assert tell is not None
        tell(3, 7, "movement")
    said = terminal.getvalue()
    assert "Writing [red]" in said
    assert "3/7" in said
