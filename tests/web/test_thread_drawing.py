"""The thread as drawn: boxes that never lie on one another, threads that end on them."""

from __future__ import annotations

import random
import re
import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight import web
from rushlight.web.drawing.thread import LONGEST, thread
from rushlight.web.drawing.thread_cut import cut
from rushlight.web.drawing.thread_order import crossings, neighbours, ordered
from rushlight.web.drawing.thread_place import settled
from rushlight.workshop.stores.thread_views import (
    COLUMN,
    HEADINGS,
    Kind,
    Thread,
    ThreadLink,
    ThreadNode,
)
from tests.support.browser import assert_axe_clean

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

HOSTILE = (
    '"><script>alert(1)</script>',
    "x" * 400,
    "W" * 60 + " " + "W" * 60,
    "\u202eמזהה אצווה של ספק שקשה לקרוא",
    "🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯🕯",
    "\ufdfd\ufdfd\ufdfd long \u2e3b\u2e3b\u2e3b dashes",
    "a\u0000b\ud800c\ufffe]]>&amp;{{ x }}",
    "蝋燭と芯と香りの大きな瓶の蝋燭と芯と香り",
)


def node(key: str, kind: Kind, title: str = "Something", **more: object) -> ThreadNode:
    """Return a node in the column of its kind."""
    made = ThreadNode(key=key, column=COLUMN[kind], kind=kind, title=title)
    return replace(made, **more)  # type: ignore[arg-type]


def recall(jars: int, orders: int, *, seed: int = 1) -> Thread:
    """Return a lot that went into so many pours and jar lots, and so many orders."""
    draw = random.Random(seed)  # noqa: S311 -- the same thread every time
    nodes = [node("s", "supplier", "Saltmarsh Oils"), node("l", "stock_lot", code="M1050-3")]
    links = [ThreadLink("s", "l", "25 kg")]
    for n in range(jars):
        nodes += [node(f"p{n}", "pour", f"Pour {n}"), node(f"j{n}", "jar_lot", code=f"J{n}")]
        links += [ThreadLink("l", f"p{n}", "220 g"), ThreadLink(f"p{n}", f"j{n}", "24 jars")]
    for n in range(orders):
        nodes.append(node(f"o{n}", "order", f"S{n}"))
        links += [ThreadLink(f"j{j}", f"o{n}", "4 jars") for j in {draw.randrange(jars)}]
    return Thread("l", tuple(nodes), tuple(links))


def address(of: ThreadNode) -> str | None:
    """Return where a node's page is; suppliers have none."""
    return None if of.kind == "supplier" else f"/at/{of.key}"


class Drawn:
    """A drawing taken apart."""

    def __init__(self, given: Thread, longest: int = LONGEST) -> None:
        """Draw it and read it as XML."""
        self.text = str(thread(given, href=address, longest=longest))
        self.root = ET.fromstring(self.text)  # noqa: S314 - our own drawing
        self.boxes = [
            tuple(float(rect.attrib[side]) for side in ("x", "y", "width", "height"))
            for rect in self.root.iter("rect")
            if rect.attrib["class"].startswith("y-box")
        ]
        self.ends = [
            ((places[0], places[1]), (places[-2], places[-1]))
            for line in self.root.iter("path")
            for places in [[float(n) for n in re.findall(r"-?\d+\.\d", line.attrib["d"])]]
        ]

    def check(self) -> None:
        """Boxes within the sheet and apart; every thread from a box's right to a box's left."""
        (sheet,) = (svg for svg in self.root.iter("svg") if svg.attrib.get("class") == "yarn")
        across, down = (float(sheet.attrib[side]) for side in ("width", "height"))
        for x, y, wide, tall in self.boxes:
            assert 0 <= x <= x + wide <= across
            assert 0 <= y <= y + tall <= down
        for at, (x, y, wide, tall) in enumerate(self.boxes):
            for x2, y2, wide2, tall2 in self.boxes[:at]:
                apart = x + wide <= x2 or x2 + wide2 <= x or y + tall < y2 or y2 + tall2 < y
                assert apart
        for (x1, y1), (x2, y2) in self.ends:
            assert any(abs(x + w - x1) < 0.1 and y <= y1 <= y + h for x, y, w, h in self.boxes)
            sides = [(x, x + w, y, y + h) for x, y, w, h in self.boxes if y <= y2 <= y + h]
            assert any(min(abs(left - x2), abs(right - x2)) < 0.1 for left, right, *_ in sides)


KINDS: list[Kind] = ["supplier", "stock_lot", "pour", "jar_lot", "order", "loss", "buyer"]


@st.composite
def threads(draw: st.DrawFn) -> Thread:
    """Any thread: links to any column, back and within one too."""
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=24))
    words = st.text(max_size=30) | st.sampled_from(HOSTILE)
    nodes = tuple(
        node(f"n{at}", kind, draw(words), lines=tuple(draw(st.lists(words, max_size=3))))
        for at, kind in enumerate(kinds)
    )
    keys = st.sampled_from([one.key for one in nodes])
    links = draw(st.lists(st.builds(ThreadLink, keys, keys, words), max_size=40))
    return Thread(draw(keys), nodes, tuple(links))


@given(threads(), st.integers(2, 8))
def test_any_thread_is_well_formed_and_its_boxes_lie_apart(given: Thread, longest: int) -> None:
    """Whatever links to whatever, and whatever was typed."""
    drawn = Drawn(given, longest)
    drawn.check()
    assert "<script" not in drawn.text
    assert "style=" not in drawn.text
    columns = {one.column for one in given.nodes}
    assert [t.text for t in drawn.root.iter("text") if t.attrib["class"] == "y-head"] == [
        HEADINGS[column] for column in sorted(columns)
    ]


def test_every_node_is_a_link_where_it_has_a_page() -> None:
    """And a plain group where it has none; both say all that they are."""
    one = node("j", "jar_lot", "Slipway", code="260518-01-7", lines=("24 jars",), mark="curing")
    given = Thread("j", (node("s", "supplier", "Ropewalk"), one), (ThreadLink("s", "j"),))
    drawn = Drawn(given)
    (link,) = drawn.root.iter("a")
    assert link.attrib["href"] == "/at/j"
    assert link.attrib["aria-label"] == "Jar lot, Slipway, 260518-01-7, 24 jars, curing, asked for"
    groups = [g.attrib["aria-label"] for g in drawn.root.iter("g") if "aria-label" in g.attrib]
    assert groups == ["Supplier, Ropewalk"]
    assert "260518-01-7" in {text.text for text in drawn.root.iter("text")}


def test_a_long_column_is_cut_at_its_number_and_says_how_many_more() -> None:
    """A recall of 500 jar lots still draws, and leads to the table."""
    drawn = Drawn(recall(500, 800))
    drawn.check()
    assert len(drawn.boxes) == 2 + 3 * LONGEST
    more = [link for link in drawn.root.iter("a") if link.attrib["href"] == "#thread-table"]
    said = [link.attrib["aria-label"] for link in more]
    assert said == [
        f"and {500 - LONGEST + 1} more: see the table",
        f"and {500 - LONGEST + 1} more: see the table",
        f"and {800 - LONGEST + 1} more: see the table",
    ]
    group = next(svg for svg in drawn.root.iter("svg") if svg.attrib.get("role") == "group")
    assert "Jar lot: 500, Order: 800" in group.attrib["aria-label"]


def test_a_column_of_just_the_number_is_drawn_whole() -> None:
    """Nothing is put away for the sake of one."""
    drawn = Drawn(recall(LONGEST, 3))
    assert "more: see" not in drawn.text
    assert len(drawn.boxes) == 2 + 2 * LONGEST + 3


def test_what_is_nearest_to_the_node_asked_for_stays() -> None:
    """The last jar lot of 500, its pour and its orders are all there."""
    given = replace(recall(500, 800), root="j499")
    shown = {cell.node.key for cell in cut(given, 5).cells if cell.node}
    linked = {one.target for one in given.links if one.source == "j499"}
    assert {"j499", "p499", "l", "s", *sorted(linked)[:4]} <= shown


def test_threads_of_what_is_put_away_run_to_the_rest_of_its_column() -> None:
    """Each once, however many it stands for."""
    shown = cut(recall(30, 0), 4)
    rest = [n for n, cell in enumerate(shown.cells) if cell.rest]
    assert [shown.cells[n].rest for n in rest] == [27, 27]
    joined = {(span.left, span.right): span.joined for span in shown.spans}
    assert joined[1, rest[0]] == 27
    assert joined[rest[0], rest[1]] == 27
    assert len(joined) == len(shown.spans)


def test_a_thread_that_can_be_drawn_without_crossings_is() -> None:
    """Pours shuffled against their jar lots come out side by side."""
    pours = [node(f"p{n}", "pour") for n in range(9)]
    jars = [node(f"j{n}", "jar_lot") for n in range(9)]
    random.Random(3).shuffle(jars)  # noqa: S311 -- the same every time
    links = tuple(ThreadLink(f"p{n}", f"j{n}") for n in range(9))
    shown = cut(Thread("p0", (*pours, *jars), links), 12)
    columns: list[list[int]] = [list(range(9)), list(range(9, 18))]
    routes = [(span.left, span.right) for span in shown.spans]
    assert crossings(columns, neighbours(routes, columns)[0]) > 5
    order = ordered(shown)
    assert crossings(order.columns, neighbours(order.routes, order.columns)[0]) == 0


def test_crossings_are_counted_as_lines_cross() -> None:
    """Compared with every pair of lines, one by one."""
    draw = random.Random(5)  # noqa: S311 -- the same every time
    for _ in range(40):
        columns = [list(range(6)), list(range(6, 12))]
        lines = {(draw.randrange(6), draw.randrange(6, 12)) for _ in range(12)}
        pairs = [(a, b) for a in lines for b in lines if a[0] < b[0] and a[1] > b[1]]
        assert crossings(columns, neighbours(list(lines), columns)[0]) == len(pairs)


@given(st.lists(st.tuples(st.floats(-50, 500), st.floats(5, 90)), min_size=1, max_size=12))
def test_cells_settle_in_order_apart_and_within(given: list[tuple[float, float]]) -> None:
    """However they wish to stand."""
    wanted, heights = [w for w, _ in given], [h for _, h in given]
    floor = sum(heights) + 10 * len(heights) + 40
    tops = settled(wanted, heights, 10.0, floor)
    assert tops[0] >= 0
    assert tops[-1] + heights[-1] <= floor + 1e-6
    for top, height, below in zip(tops, heights, tops[1:], strict=False):
        assert below >= top + height + 10 - 1e-6


def test_cells_that_do_not_meet_stand_where_they_wish() -> None:
    """And two that do share the difference."""
    assert settled([0.0, 100.0], [20.0, 20.0], 10.0, 500.0) == [0.0, 100.0]
    assert settled([100.0, 100.0], [20.0, 20.0], 10.0, 500.0) == [85.0, 115.0]


def test_a_label_never_lies_on_another() -> None:
    """Those without room are left to the table and to the thread's own words."""
    nodes = [node("j", "jar_lot")] + [node(f"o{n}", "order", f"S{n}") for n in range(8)]
    many = [ThreadLink("j", f"o{n}", f"{n} jars") for n in range(8)]
    drawn = Drawn(Thread("j", tuple(nodes), tuple(many)))
    labels = [t for t in drawn.root.iter("text") if t.attrib["class"] == "y-label"]
    ys = sorted(float(label.attrib["y"]) for label in labels)
    assert len(ys) == 8
    assert all(b - a >= 14 for a, b in pairwise(ys))
    titles = [t.text for t in drawn.root.iter("title")]
    assert "Something to S3: 3 jars" in titles


def test_a_link_to_nothing_is_our_own_mistake() -> None:
    """It is said, not drawn into the air."""
    with pytest.raises(ValueError, match="ghost"):
        cut(Thread("s", (node("s", "supplier"),), (ThreadLink("s", "ghost"),)), 5)


def test_the_table_holds_every_link_and_every_node() -> None:
    """In columns from left to right; what hangs on nothing too."""
    given = recall(40, 60)
    alone = node("x", "stock_lot", "Alone")
    given = replace(given, nodes=(*given.nodes, alone))
    rows = given.rows
    assert len(rows) == len(given.links) + 1
    assert rows[-1].source == alone
    columns = [row.source.column for row in rows[:-1] if row.source]
    assert columns == sorted(columns)


def test_300_nodes_are_drawn_within_20_ms() -> None:
    """The best of five, so that a busy machine is no failure."""
    given = recall(100, 98)
    assert len(given.nodes) == 300

    def once() -> float:
        start = time.perf_counter()
        thread(given, href=address)
        return time.perf_counter() - start

    assert min(once() for _ in range(5)) < 0.020


STATIC = Path(web.__file__).parent / "static"
SHEETS = ("fonts/fonts.css", "css/tokens.css", "css/base.css", "css/stores.css")
POLICY = "default-src 'none'; style-src file:; font-src file:"


@pytest.fixture
def leaf(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """Open a page with a hostile thread, under a policy that allows no inline style."""
    nodes = [
        node("s", "supplier", HOSTILE[0]),
        *(
            node(f"l{n}", "stock_lot", words, lines=(words, words), mark=words, code="M1050-3")
            for n, words in enumerate(HOSTILE)
        ),
        node("p", "pour", "Pour 17", lines=HOSTILE),
        node("j", "jar_lot", "Slipway", code="260518-01-7"),
        node("o", "order", "S31-5"),
        node("b", "buyer", HOSTILE[4]),
    ]
    links = [ThreadLink(f"l{n}", "p", "220 g") for n in range(len(HOSTILE))]
    links += [ThreadLink("s", "l0"), ThreadLink("p", "j", HOSTILE[1]), ThreadLink("j", "o")]
    drawn = thread(Thread("j", tuple(nodes), (*links, ThreadLink("o", "b"))), href=address)
    sheets = "".join(
        f'<link rel="stylesheet" href="{(STATIC / sheet).as_uri()}">' for sheet in SHEETS
    )
    place = tmp_path / "leaf.html"
    place.write_text(
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A thread</title>'
        f'<meta name="viewport" content="width=device-width">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">{sheets}</head>'
        f"<body><main><h1>A thread</h1>{drawn}</main></body></html>",
        "utf-8",
    )
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    opened = context.new_page()
    said: list[str] = []
    opened.on("console", lambda message: said.append(message.text))
    opened.goto(place.as_uri())
    opened.evaluate("document.fonts.ready")
    assert not said, said
    yield opened
    context.close()


INSIDE = """() => [...document.querySelectorAll('.y-node')].flatMap(node => {
  const box = node.querySelector('rect').getBoundingClientRect();
  return [...node.querySelectorAll('text')]
    .map(text => [text, text.getBoundingClientRect()])
    .filter(([, words]) => words.left < box.left || words.right > box.right
                           || words.top < box.top || words.bottom > box.bottom)
    .map(([text]) => text.textContent);
})"""


def test_no_words_leave_their_box_in_a_real_browser(leaf: Page) -> None:
    """Measured by Chromium with the house's faces; one sign wider than any is cut off."""
    over = leaf.evaluate(INSIDE)
    assert all("\ufdfd" in words or "\u2e3b" in words for words in over), over
    assert leaf.evaluate("getComputedStyle(document.querySelector('a.y-node svg')).overflow") in {
        "hidden",
        "clip",
    }


def test_on_a_narrow_screen_the_thread_scrolls_in_its_own_frame(leaf: Page) -> None:
    """Letters keep their size, the page its width; it opens at the node asked for."""
    leaf.set_viewport_size({"width": 390, "height": 800})
    leaf.reload()
    assert leaf.evaluate("document.documentElement.scrollWidth") <= 390
    tall = leaf.evaluate("document.querySelector('.y-title').getBoundingClientRect().height")
    assert tall >= 15
    seen = leaf.evaluate(
        "(() => { const b = document.querySelector('.y-node.asked').getBoundingClientRect();"
        " return [b.left, b.right]; })()"
    )
    assert seen[0] >= 0
    assert seen[1] <= 390


def test_the_keyboard_goes_along_the_thread_and_is_seen(leaf: Page) -> None:
    """Frame first, then each node, with a mark around the one in focus."""
    leaf.keyboard.press("Tab")
    assert leaf.evaluate("document.activeElement.className") == "yarn-frame"
    leaf.keyboard.press("Tab")
    assert leaf.evaluate("document.activeElement.getAttribute('href')").startswith("/at/l")
    outline = leaf.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_thread_is_accessible(leaf: Page, scheme: str) -> None:
    """Axe finds nothing, by day and by lamp."""
    leaf.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    assert_axe_clean(leaf)
