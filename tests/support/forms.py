"""A page of the workshop as whoever fills in its forms sees it."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Final

_EMPTY: Final = frozenset({"input", "link", "meta", "br", "img", "hr", "base", "wbr", "source"})


class Form(HTMLParser):
    """What stands in the fields of a page, what is wrong with it, and its words.

    fields: value by name, of several the first; said: text by the id of its element.
    """

    def __init__(self, html: str) -> None:
        """Read a page."""
        super().__init__()
        self.fields: dict[str, str] = {}
        self.said: dict[str, str] = {}
        self.links: list[str] = []
        self.parts: list[str] = []
        self.keys: list[str] = []
        self._open: list[tuple[str, str]] = []
        self._choice = ""
        self.feed(html)
        self.words = " ".join(" ".join(self.parts).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a field, a link, or an element that has a name."""
        told = {name: value or "" for name, value in attrs}
        if tag == "a":
            self.links.append(told.get("href", ""))
        elif tag == "input":
            self._input(told, checked=any(name == "checked" for name, _ in attrs))
        elif tag == "select":
            self._choice = told["name"]
            self.fields.setdefault(self._choice, "")
        elif tag == "option" and self._choice and any(name == "selected" for name, _ in attrs):
            self.fields[self._choice] = told["value"]
        if told.get("id"):
            self.said.setdefault(told["id"], "")
        if tag not in _EMPTY:
            self._open.append((tag, told.get("id", "")))

    def _input(self, told: dict[str, str], *, checked: bool) -> None:
        name, value = told.get("name", ""), told.get("value", "")
        if name == "key":
            self.keys.append(value)
        elif told.get("type") not in {"radio", "checkbox"} or checked:
            self.fields.setdefault(name, value)

    def handle_endtag(self, tag: str) -> None:
        """Leave an element."""
        if tag == "select":
            self._choice = ""
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        """Note words, and under which names they stand."""
        if self._open and self._open[-1][0] in {"script", "style", "option"}:
            return
        self.parts.append(data)
        for _, name in self._open:
            if name:
                self.said[name] += data

    def wrong(self, place: str) -> str:
        """Return what is said beside a field as its problem, "" for nothing."""
        return self.said[f"p-{place.replace('.', '-').replace('_', '-')}"].strip()
