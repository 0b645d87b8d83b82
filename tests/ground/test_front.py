"""`import rushlight`: the public names, and the notebook page that uses them."""

import re
import runpy
from pathlib import Path

import pytest

import rushlight
from tests.support.tree import ROOT

BLOCKS = re.findall(
    r"^```python\n(.*?)^```",
    (ROOT / "docs" / "notebook.md").read_text("utf-8"),
    flags=re.DOTALL | re.MULTILINE,
)


def test_every_public_name_is_there_and_documented() -> None:
    """No name leads nowhere, and each says what it does."""
    for name in rushlight.__all__:
        assert getattr(rushlight, name).__doc__, name
    assert set(rushlight.__all__) == set(rushlight._HOME)


def test_an_unknown_name_is_refused_as_python_does() -> None:
    """A slip of the hand is an AttributeError."""
    with pytest.raises(AttributeError, match="no attribute 'wiegh'"):
        rushlight.wiegh  # noqa: B018


def test_the_notebook_page_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every example, with one number of each pinned."""
    said = []
    for i, block in enumerate(BLOCKS):
        script = tmp_path / f"block{i}.py"
        script.write_text(block, encoding="utf-8")
        runpy.run_path(str(script))
        said.append(capsys.readouterr().out)
    assert len(said) == 4
    # 8 % of wax is 8/108 of the total
    assert "7.41% of total" in said[0]
    # 3 kg at 4 and 2 kg of the 5 kg at 4.60: 12 + 9.20
    assert "21.20 used, 13.80 left" in said[1]
    # 4.2 kg at 4.20 instead of 4 kg at 4: 0.20 × 4.2 and 0.2 × 4; (120 - 6 - 42) / 120
    assert "price +0.84, usage +0.80" in said[2]
    assert "margin 60%" in said[2]
    assert "fluid ounce" in said[3]
