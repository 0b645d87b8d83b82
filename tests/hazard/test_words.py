"""What the whole package says and never says."""

import re
from importlib.resources import files
from pathlib import Path

from rushlight.hazard import WORKING_AID

HERE = Path(str(files("rushlight.hazard")))


def test_no_result_claims_too_much() -> None:
    """Nothing here is "safe" or "complies": it is a working aid."""
    texts = [file for kind in ("py", "toml") for file in HERE.rglob(f"*.{kind}")]
    assert len(texts) > 40
    for file in texts:
        words = file.read_text(encoding="utf-8").lower()
        assert not re.search(r"\bsafe\b|\bsafely\b|\bcompl(y|ies|iant)\b", words), file.name
    assert "safety data sheet" in WORKING_AID


def test_every_table_says_where_its_numbers_come_from() -> None:
    """Each rule carries paragraph and source; each table names its law."""
    for file in [*HERE.glob("tables/*.toml"), *HERE.glob("netcontents/*.toml")]:
        text = file.read_text(encoding="utf-8")
        assert re.search("from memory|legal text|secondary source", text), file.name
        assert text.count("[[rule]]") <= text.count("\nsource = ")
        assert text.count("[[rule]]") <= text.count("\nparagraph = ")
