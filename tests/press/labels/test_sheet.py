"""The grid of a sheet of labels."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rushlight.press.labels import stock
from rushlight.press.labels.design import Outline
from rushlight.press.labels.sheet import RULER, Lie, Sheet, next_start
from rushlight.press.paper import Paper

size = st.floats(min_value=5, max_value=320)
grids = st.builds(
    Sheet,
    outline=st.builds(Outline, width=size, height=size),
    columns=st.integers(1, 8),
    rows=st.integers(1, 14),
    left=st.floats(0, 60),
    top=st.floats(0, 60),
    pitch_x=st.floats(5, 120),
    pitch_y=st.floats(5, 120),
    lie=st.sampled_from(Lie),
)
papers = st.sampled_from(Paper)


def overlap(one: tuple[float, ...], two: tuple[float, ...]) -> bool:
    """Say whether two boxes x0, y0, x1, y1 share more than an edge."""
    deep = min(one[2], two[2]) - max(one[0], two[0]), min(one[3], two[3]) - max(one[1], two[1])
    return min(deep) > 1e-5


def boxes(sheet: Sheet) -> list[tuple[float, float, float, float]]:
    """Return all cells as boxes."""
    wide, high = sheet.outline.width, sheet.outline.height
    return [(cell.x, cell.y, cell.x + wide, cell.y + high) for cell in sheet.cells]


@given(grids, papers)
def test_a_sheet_without_problems_has_cells_apart_and_on_the_paper(
    sheet: Sheet, paper: Paper
) -> None:
    """And one that has cells across or beyond is told so: the check is exact both ways."""
    wide, high = sheet.size(paper)
    cells = boxes(sheet)
    inside = all(
        x0 >= 0 and y0 >= 0 and x1 <= wide + 1e-6 and y1 <= high + 1e-6 for x0, y0, x1, y1 in cells
    )
    steps = [
        (sheet.columns, sheet.pitch_x, sheet.outline.width),
        (sheet.rows, sheet.pitch_y, sheet.outline.height),
    ]
    assume(all(abs(pitch - side) > 1e-4 for _, pitch, side in steps))  # not on the border line
    apart = not any(several > 1 and pitch < side for several, pitch, side in steps)
    good = not sheet.problems(paper)
    assert good == (inside and apart)
    if good:
        assert not any(overlap(one, two) for one, two in combinations(cells, 2))


@given(grids, papers)
def test_the_ruler_lies_on_the_paper_and_on_no_label(sheet: Sheet, paper: Paper) -> None:
    """Level or upright, in a margin; where there is none it gets a page of its own."""
    assume(not sheet.problems(paper))
    spot = sheet.ruler(paper)
    if spot is not None:
        across, down = RULER[::-1] if spot.turned else RULER
        ruler = (spot.x, spot.y, spot.x + across, spot.y + down)
        wide, high = sheet.size(paper)
        assert 0 <= ruler[0] < ruler[2] <= wide
        assert 0 <= ruler[1] < ruler[3] <= high
        assert not any(overlap(ruler, cell) for cell in boxes(sheet))


@given(
    columns=st.integers(1, 6),
    rows=st.integers(1, 9),
    start=st.integers(1, 60),
    labels=st.integers(1, 200),
)
def test_a_part_used_sheet_is_finished_first(
    columns: int, rows: int, start: int, labels: int
) -> None:
    """Every label gets one cell; cells before the start stay empty; later sheets are whole."""
    assume(start <= columns * rows)
    sheet = Sheet(
        outline=Outline(width=10, height=10),
        columns=columns,
        rows=rows,
        left=1,
        top=1,
        pitch_x=12,
        pitch_y=12,
        start=start,
    )
    pages = sheet.used(labels)
    assert sum(map(len, pages)) == labels
    assert pages[0] == list(sheet.cells[start - 1 : start - 1 + labels])
    assert all(page == list(sheet.cells[: len(page)]) for page in pages[1:])
    assert all(len(page) == columns * rows for page in pages[1:-1])
    after = sheet.starting(next_start(sheet, labels))
    if after.start > 1:
        assert after.cells[after.start - 2] == pages[-1][-1]
    else:
        assert pages[-1][-1] == sheet.cells[-1]


@pytest.mark.parametrize(
    ("changed", "place"),
    [
        ({"start": 0}, "start"),
        ({"start": 5}, "start"),
        ({"columns": 0}, "columns"),
        ({"rows": 10**9}, "rows"),
        ({"pitch_x": 40.0}, "pitch_x"),
        ({"pitch_y": float("nan")}, "pitch_y"),
        ({"left": 100.0}, "left"),
        ({"top": -1.0}, "top"),
        ({"right": 11.0}, "right"),
        ({"down": float("nan")}, "down"),
        ({"outline": Outline(width=0.0, height=10.0)}, "width"),
    ],
)
def test_what_no_sheet_can_have_is_told_in_its_place(changed: dict[str, float], place: str) -> None:
    """With a remedy each."""
    good = Sheet(
        outline=Outline(width=60.0, height=60.0),
        columns=2,
        rows=2,
        left=10.0,
        top=10.0,
        pitch_x=65.0,
        pitch_y=65.0,
    )
    assert good.problems(Paper.A4) == []
    problems = replace(good, **changed).problems(Paper.A4)  # type: ignore[arg-type]
    assert place in [problem.place for problem in problems]
    assert all(problem.remedy for problem in problems)


@pytest.mark.parametrize("name", list(stock.sheets()))
def test_every_sheet_of_the_list_is_possible(name: str) -> None:
    """On the paper it is for, and it is named by its dimensions alone."""
    sheet, paper = stock.sheet(name)
    assert sheet.problems(paper) == []
    assert name.startswith(f"{paper.value}, {sheet.rows * sheet.columns} ")
