"""What a page was asked: the open workshop and the fields of the form."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse

from rushlight.errors import BadInput
from rushlight.web.render import shop_of
from rushlight.workshop import Workshop

LONGEST = 20_000  # characters in one field; a profile or a note needs far fewer
LONGEST_PASTE = 250_000  # characters in a field that rows are pasted into


@dataclass(frozen=True, slots=True)
class Fields:
    """A form's fields in order, text only."""

    pairs: tuple[tuple[str, str], ...]

    def get(self, name: str) -> str:
        """Return what was typed in a field, trimmed; empty when there is no such field."""
        return next((value.strip() for key, value in self.pairs if key == name), "")

    @property
    def key(self) -> str | None:
        """The form's own key, and what is typed in it: the same form sent twice is done once."""
        typed = [pair for pair in self.pairs if pair[0] != "key"]
        return _key(self.get("key"), repr(typed).encode())

    def under(self, table: str) -> dict[str, str]:
        """Return the fields of one table, ``batch.jars`` as ``jars``."""
        start = table + "."
        return {
            name.removeprefix(start): value.strip()
            for name, value in self.pairs
            if name.startswith(start) and value.strip()
        }

    def typed(self) -> dict[str, str]:
        """Return every field but the form's own key."""
        return {name: value.strip() for name, value in self.pairs if name != "key"}


@dataclass(frozen=True, slots=True)
class Sent:
    """A file that was sent, with the name it had and the form's own key."""

    name: str
    content: bytes
    key: str | None


async def _read(request: Request, longest: int) -> Fields:
    async with request.form(max_files=0, max_fields=700) as form:
        pairs = tuple((k, v) for k, v in form.multi_items() if isinstance(v, str))
    if any(len(value) > longest for _, value in pairs):
        raise BadInput.one("One field holds far too much text.", "Shorten it.")
    request.state.typed = pairs  # so that a page of trouble can show it, and send it again
    return Fields(pairs)


async def _fields(request: Request) -> Fields:
    return await _read(request, LONGEST)


async def _pasted(request: Request) -> Fields:
    return await _read(request, LONGEST_PASTE)


async def _sent(request: Request) -> Sent:
    """Read one file; without one its content is empty, which the verb refuses in its place."""
    async with request.form(max_files=1, max_fields=8) as form:
        file, key = form.get("file"), form.get("key")
        name, content = "", b""
        if isinstance(file, UploadFile):
            name, content = file.filename or "", await file.read()
    return Sent(name, content, _key(key if isinstance(key, str) else "", content))


def _key(own: str, typed: bytes) -> str | None:
    """Return a key as a deed takes it: of the form, a #, and a digest of what was sent."""
    return f"{own[:64]}#{hashlib.sha256(typed).hexdigest()[:16]}" if own else None


def _shop(request: Request) -> Workshop:
    return shop_of(request)


Shop = Annotated[Workshop, Depends(_shop)]
Form = Annotated[Fields, Depends(_fields)]
LongForm = Annotated[Fields, Depends(_pasted)]
Upload = Annotated[Sent, Depends(_sent)]


def see(path: str) -> RedirectResponse:
    """Send the browser on after a write, so that a reload writes nothing again."""
    return RedirectResponse(path, status_code=303)


def words_of(bad: BadInput) -> Mapping[str, str]:
    """Return the problems by place."""
    return {p.place: f"{p.what} {p.remedy}" for p in bad.problems}
