"""The documentation says what is so: its examples run, its commands and links exist."""

import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.tree import ROOT, files

README = ROOT / "README.md"
DOCS = sorted((ROOT / "docs").glob("*.md"))
PROSE_ONLY = re.compile(r"^```.*?^```", flags=re.DOTALL | re.MULTILINE)
COMMAND = re.compile(r"(?:^|`)rushlight ([a-z][a-z-]*)", flags=re.MULTILINE)
PATH = re.compile(r"`((?:src|tests|docs|requirements)/[\w./-]*)`")
ELSEWHERE = re.compile(r"url\([\"']?(?:https?:)?//[^)]*")
TEXTS = [README, ROOT / "CONTRIBUTING.md", *DOCS]


def _blocks(path: Path, language: str) -> list[str]:
    pattern = rf"^```{language}\n(.*?)^```"
    return re.findall(pattern, path.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)


def _commands() -> set[str]:
    """Return the commands that `rushlight --help` lists."""
    command = Path(sys.executable).parent / "rushlight"
    shown = subprocess.run(
        [command, "--help"], check=True, capture_output=True, text=True, encoding="utf-8"
    ).stdout
    listed = shown[shown.index("Commands") :]
    return set(re.findall(r"^[\s│|]*([a-z][a-z-]+)\s{2,}\S", listed, flags=re.MULTILINE))


def _mentioned(path: Path) -> set[str]:
    return set(COMMAND.findall(path.read_text(encoding="utf-8")))


def test_the_candle_file_example_is_a_candle() -> None:
    """The first example of docs/candle-file.md is read, batch and all, and weighed."""
    from rushlight.candle.document import read, read_batch
    from rushlight.candle.kinds import built_in
    from rushlight.candle.weigh import weigh

    document = tomllib.loads(_blocks(ROOT / "docs" / "candle-file.md", "toml")[0])
    candle = read(document, built_in())
    assert candle.name == "Slipway"
    assert len(candle.oils) == 2
    assert read_batch(document).jars == 12
    assert weigh(candle) is not None


def test_every_key_of_the_candle_file_is_documented() -> None:
    """Each field that has bounds stands in docs/candle-file.md by its name."""
    from rushlight.candle.limits import LIMITS

    text = (ROOT / "docs" / "candle-file.md").read_text(encoding="utf-8")
    keys = {field.rsplit(".", 1)[-1] for field in LIMITS if not field.startswith("vessel.profile")}
    assert len(keys) > 30
    assert {key for key in keys if not re.search(rf"\b{key}\b", text)} == set()


def test_every_command_is_documented_and_every_documented_command_exists() -> None:
    """docs/command-line.md and `rushlight --help` name the same commands."""
    assert _mentioned(ROOT / "docs" / "command-line.md") == _commands()


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_commands_in_the_text_exist(path: Path) -> None:
    """A reader who copies a `rushlight` command finds it there."""
    assert _mentioned(path) - _commands() == set()


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_make_targets_in_the_text_exist(path: Path) -> None:
    """A reader who copies a `make` command finds that target."""
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z-]+):", makefile, flags=re.MULTILINE))
    assert {"demo", "test", "lint", "bench", "lock", "help"} <= targets
    text = path.read_text(encoding="utf-8")
    assert set(re.findall(r"(?:^|`)make ([a-z]+)", text, flags=re.MULTILINE)) - targets == set()


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_links_and_paths_lead_somewhere(path: Path) -> None:
    """Relative links, pictures and paths into src/ and tests/ point at what is there."""
    text = PROSE_ONLY.sub("", path.read_text(encoding="utf-8"))
    links = [link.partition("#")[0] for link in re.findall(r"\]\(([^)]+)\)", text)]
    near = [path.parent / link for link in links if link and "://" not in link]
    named = [ROOT / name for name in PATH.findall(text)]
    assert [str(place) for place in (*near, *named) if not place.exists()] == []


def test_no_picture_lies_about_unused() -> None:
    """Every picture in docs/images is shown somewhere."""
    texts = "".join(path.read_text(encoding="utf-8") for path in TEXTS)
    pictures = [file for file in files() if file.parent == ROOT / "docs" / "images"]
    assert [file.name for file in pictures if f"images/{file.name}" not in texts] == []


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the documentation, warnings as errors."""
    folder = tmp_path_factory.mktemp("site")
    mkdocs = Path(sys.executable).parent / "mkdocs"
    command: list[str | Path] = [mkdocs, "build", "--strict", "--quiet", "--site-dir", folder]
    subprocess.run(command, cwd=ROOT, check=True)
    return folder


def _loads(html: str) -> Iterator[str]:
    """Yield the addresses that a browser fetches to show a page; links to follow are none."""
    yield from re.findall(r"<(?:script|img|iframe|source)\b[^>]*\bsrc=\"?([^\"\s>]+)", html)
    for tag in re.findall(r"<link\b[^>]*>", html):
        if re.search(r"rel=\"?(?:stylesheet|icon|preload|preconnect|dns-prefetch|manifest)", tag):
            yield from re.findall(r"href=\"?([^\"\s>]+)", tag)


@pytest.mark.slow
def test_the_site_loads_nothing_from_elsewhere(site: Path) -> None:
    """Every page of the documentation shows without a request to another machine."""
    pages = sorted(site.glob("*.html"))
    assert len(pages) >= len(DOCS)
    loads = {address for page in pages for address in _loads(page.read_text(encoding="utf-8"))}
    assert loads
    assert {address for address in loads if re.match(r"(?:\w+:)?//", address)} == set()
    styles = [sheet.read_text(encoding="utf-8") for sheet in site.rglob("*.css")]
    assert [url for css in styles for url in ELSEWHERE.findall(css)] == []
