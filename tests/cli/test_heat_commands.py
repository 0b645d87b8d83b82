"""`rushlight set`, `burn`, `wicks` and `sweep`: the same answers as on the pages."""

from __future__ import annotations

import csv
import importlib.util
import io
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

Run = Callable[..., Any]


def test_how_it_sets_is_said_in_words_and_a_table(run: Run, candle: Path) -> None:
    """Likely and between; it never replaces pouring one."""
    ran = run("set", candle)
    assert (ran.status, ran.err) == (0, "")
    for said in ("How Slipway sets", "A sinkhole is", "wholly set", "may be moved", "Between",
                 "freezes last", "Relief pour"):  # fmt: skip
        assert said in ran.out
    assert "pour one and look" in " ".join(ran.out.split())


def test_what_is_typed_changes_the_answer_the_way_it_must(run: Run, candle: Path) -> None:
    """Cooler air sets sooner; hotter wax skins later (both common practice)."""
    plain = run("set", candle, "--json").data
    cold = run("set", candle, "--json", "--refrigerator").data
    hot = run("set", candle, "--json", "--pour", "80 C").data
    assert plain["pour_temperature_c"] == pytest.approx((163 - 32) / 1.8)  # as the file says
    assert cold["figures"]["time_to_set_s"] < plain["figures"]["time_to_set_s"]
    assert hot["figures"]["time_to_skin_s"] > plain["figures"]["time_to_skin_s"]
    assert cold["vessel_temperature_c"] == 21.0
    assert cold["room_temperature_c"] == 5.0
    figures = plain["figures"]
    assert figures["time_to_set_low_s"] <= figures["time_to_set_s"] <= figures["time_to_set_high_s"]


def test_how_it_burns_carries_its_cautions(run: Run, candle: Path) -> None:
    """And says that a rate nobody knows is a guess."""
    out = " ".join(run("burn", candle).out.split())
    assert "Test burn before you sell" in out
    assert "Hot glass" in out
    assert "a guess" in out
    assert "a guess" not in run("burn", candle, "--rate", "5 g/h").out
    assert run("burn", candle, "--json").data["burn_rate_guessed"] is True


def test_a_larger_wick_makes_a_wider_pool_and_a_hotter_wall(run: Run, candle: Path) -> None:
    """Common practice."""
    small, large = (
        run("burn", candle, "--rate", rate, "--json").data["figures"] for rate in ("3 g/h", "6 g/h")
    )
    assert large["pool_diameter_mm"] > small["pool_diameter_mm"]
    assert large["wall_temperature_c"] > small["wall_temperature_c"]
    assert large["flame_height_mm"] > small["flame_height_mm"]


def test_the_units_are_those_asked_for(run: Run, candle: Path) -> None:
    """No millimetre at an American bench."""
    for command in ("set", "burn", "wicks"):
        out = run(command, candle, "--units", "us").out
        assert "°F" in out
        assert "°C" not in out
        assert " mm" not in out


def test_wicks_are_placed_in_the_window(run: Run, candle: Path) -> None:
    """Inside, too small, too large; by the rate typed."""
    data = run(
        "wicks", candle, "--json", "--wick", "tiny=0.6 g/h", "--wick", "middling=4.5-5 g/h"
    ).data
    verdicts = {wick["name"]: wick["verdict"] for wick in data["wicks"]}
    assert verdicts == {"tiny": "probably too small", "middling": "worth testing"}
    assert data["low_g_h"] < data["high_g_h"]


def test_the_wicks_of_a_workshop_are_placed_too(run: Run, workshop_file: Path) -> None:
    """Those whose rate is unknown are named so."""
    out = run("wicks", "slipway", "--workshop", workshop_file).out
    assert "unknown" in out
    assert "Flat cotton 10" in out


@pytest.mark.parametrize(("command", "more"), [("set", ()), ("burn", ()), ("wicks", ())])
def test_a_plot_is_one_svg_that_needs_nothing_else(
    run: Run, candle: Path, tmp_path: Path, command: str, more: tuple[str, ...]
) -> None:
    """Well formed; no style sheet, no class, no link."""
    out = tmp_path / "plot.svg"
    ran = run(command, candle, "--plot", out, *more)
    assert f"{out}: written." in ran.out.replace("\n", "")
    text = out.read_text("utf-8")
    assert ET.fromstring(text).tag.endswith("svg")  # noqa: S314 - our own drawing
    assert "class=" not in text
    assert "href" not in text


def test_a_plot_can_be_a_png(run: Run, candle: Path, tmp_path: Path) -> None:
    """By its signature (PNG, ISO/IEC 15948, 5.2), and not empty."""
    out = tmp_path / "plot.png"
    run("set", candle, "--plot", out)
    made = out.read_bytes()
    assert made.startswith(b"\x89PNG\r\n\x1a\n")
    assert len(made) > 10_000


@pytest.mark.parametrize(
    ("command", "more", "place"),
    [("set", ("--pour", "20 C"), "pour"), ("set", ("--room", "hot"), "room"),
     ("set", ("--plot", "x.gif"), "x.gif"), ("burn", ("--rate", "90 g/h"), "rate"),
     ("burn", ("--hours", "3 d"), "hours"), ("wicks", ("--wick", "4 g/h"), "--wick"),
     ("wicks", ("--wick", "flat=quick"), "--wick"), ("wicks", ("--limit", "300 C"), "limit"),
     ("sweep", ("--pours", "hot"), "--pours"), ("sweep", ("--out", "x.xls"), "x.xls"),
     ("sweep", ("--ask", "burn"), "--rates"), ("sweep", ("--loads", "900 %"), "fragrance.load")],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_what_to_do(
    run: Run, candle: Path, command: str, more: tuple[str, ...], place: str
) -> None:
    """Exit 2, one problem, its place and its remedy."""
    ran = run(command, candle, *more, "--json")
    assert ran.status == 2
    assert [p["place"] for p in ran.problems] == [place]
    assert all(p["what"] and p["remedy"] for p in ran.problems)


def test_a_vessel_that_cannot_be_is_refused_before_any_time_is_spent(
    run: Run, candle: Path
) -> None:
    """A two-metre jar is a slip of the unit."""
    text = candle.read_text("utf-8")
    assert 'height = "76 mm"' in text
    candle.write_text(text.replace('height = "76 mm"', 'height = "2 m"'), "utf-8")
    begun = time.monotonic()
    ran = run("set", candle)
    assert ran.status == 2
    assert "vessel.height" in ran.err
    assert time.monotonic() - begun < 2


def test_a_sweep_is_a_table_with_units_in_its_columns(
    run: Run, candle: Path, tmp_path: Path
) -> None:
    """To the terminal or to a file, the same."""
    words = ("sweep", candle, "--loads", "6; 8 %", "--pours", "60 C; 65 C")
    shown = run(*words).out
    out = tmp_path / "table.csv"
    assert "4 rows written" in run(*words, "--out", out).out
    assert out.read_text("utf-8") == shown
    rows = list(csv.DictReader(io.StringIO(shown)))
    assert [float(row["load_of_wax_percent"]) for row in rows] == [6, 6, 8, 8]
    assert all(float(row["time_to_set_s"]) > 0 and not row["problem"] for row in rows)


def test_a_sweep_of_burns_takes_the_rates_typed(run: Run, candle: Path) -> None:
    """Each a row."""
    rows = run("sweep", candle, "--ask", "burn", "--rates", "3; 4", "--json").data["rows"]
    assert [row["burn_rate_g_h"] for row in rows] == [3.0, 4.0]
    assert rows[0]["pool_diameter_mm"] < rows[1]["pool_diameter_mm"]


def test_processes_give_what_one_thread_gives(run: Run, candle: Path) -> None:
    """Whoever works it out."""
    words = ("sweep", candle, "--pours", "60 C; 65 C; 70 C")
    assert run(*words, "--processes", "2").out == run(*words, "--processes", "1").out


def test_parquet_needs_its_package_and_says_so(run: Run, candle: Path, tmp_path: Path) -> None:
    """Before any time is spent; where it is there, it is read back."""
    out = tmp_path / "table.parquet"
    ran = run("sweep", candle, "--pours", "60 C", "--out", out)
    if importlib.util.find_spec("pyarrow") is None:
        assert ran.status == 2
        assert "pip install" in ran.err
        assert not out.exists()
    else:
        assert out.read_bytes()[:4] == b"PAR1"  # Apache Parquet format, "File Format"


@pytest.mark.skipif(os.name == "nt", reason="a console's Ctrl-C reaches the test run as well")
def test_ctrl_c_keeps_what_was_worked_out(candle: Path, tmp_path: Path) -> None:
    """Ended within two seconds, exit 130, a whole table of fewer rows."""
    out = tmp_path / "table.csv"
    pours = "; ".join(f"{60 + n / 100:.2f} C" for n in range(1500))
    command = [str(Path(sys.executable).parent / "rushlight"), "sweep", str(candle)]
    more = ["--pours", pours, "--out", str(out), "--processes", "1"]
    with subprocess.Popen([*command, *more], stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        assert "1500 cases" in process.stderr.readline()
        time.sleep(4)  # the first cases load the kernels
        assert process.poll() is None, "it was over before it could be stopped"
        process.send_signal(signal.SIGINT)
        begun = time.monotonic()
        err = process.stderr.read()
        process.wait(30)
    assert time.monotonic() - begun < 2 * 2  # twice the promise, for a loaded machine
    assert process.returncode == 130
    assert "Traceback" not in err
    assert "Stopped:" in err
    rows = list(csv.DictReader(io.StringIO(out.read_text("utf-8"))))
    assert len(rows) < 1500
