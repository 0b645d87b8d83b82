"""The demo workshop, built, served and opened, as every browser test finds it."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page


def test_the_first_page_opens_without_trouble(page: "Page") -> None:
    """Today of the demo workshop answers 200 in a browser, and the watch over it stays silent."""
    answer = page.goto("/")
    assert answer is not None
    assert answer.status == 200
    assert page.title()
