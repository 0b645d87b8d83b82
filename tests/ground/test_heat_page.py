"""The notebook example of docs/setting-and-burning.md runs, one number of each answer pinned."""

import re
import runpy
from pathlib import Path

import pytest

from tests.support.tree import ROOT

PAGE = ROOT / "docs" / "setting-and-burning.md"


def test_the_example_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Common practice: a jar of soy sets in a few hours, sooner in the refrigerator."""
    (block,) = re.findall(
        r"^```python\n(.*?)^```", PAGE.read_text("utf-8"), flags=re.DOTALL | re.MULTILINE
    )
    script = tmp_path / "example.py"
    script.write_text(block, encoding="utf-8")
    runpy.run_path(str(script))
    said = capsys.readouterr().out
    bench, cold = (float(hours) for hours in re.findall(r"set in ([\d.]+) h", said))
    assert 2 < cold < bench < 6
    assert re.search(r"core after an hour: 4\d C", said)
    pool = re.search(r"pool (\d+) mm across", said)
    assert pool
    assert 40 < int(pool[1]) <= 66  # the inside is 66 mm across
    assert "flat 10" not in said
    assert said.rstrip().endswith(("worth testing", "on the edge"))
