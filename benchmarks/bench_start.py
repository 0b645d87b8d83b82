"""Starting: the budgets that a user feels at every command, and a notebook at its first line."""

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from benchmarks.measure import Row, process
from rushlight import demo
from rushlight.workshop.shop import wall_clock

COMMAND = Path(sys.executable).parent / "rushlight"


def rows() -> Iterator[Row]:
    """Time Python alone, the import beyond it, and the commands as whole processes."""
    python = sys.executable
    empty = process(python, "-c", "pass")
    floor = min(empty)
    yield Row("starting Python, nothing else", empty, "best")
    imported = tuple(max(t - floor, 0.0) for t in process(python, "-c", "import rushlight"))
    yield Row("`import rushlight`, beyond starting Python", imported, "median", 0.150)
    yield Row("`rushlight --help`", process(COMMAND, "--help"), "median", 0.250)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "candle.toml"
        yield Row(
            "`rushlight sheet FILE --json`",
            process(COMMAND, "sheet", _candle(file), "--json"),
            "median",
            0.400,
        )
        shop = Path(folder) / "demo.rushlight"
        demo.build(shop, clock=wall_clock).close()
        for words in (("stock",), ("value",), ("trace", "1")):
            yield Row(
                f"`rushlight {' '.join(words)} --json`, of the demo workshop",
                process(COMMAND, *words, "--workshop", shop, "--json"),
                "median",
                0.400,
            )


def _candle(file: Path) -> Path:
    """Write the example of the documentation."""
    text = (Path(__file__).parents[1] / "docs" / "candle-file.md").read_text("utf-8")
    file.write_text(text.split("```toml\n", 1)[1].split("```", 1)[0], encoding="utf-8")
    return file
