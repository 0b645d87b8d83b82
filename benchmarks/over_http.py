"""Ask a served application for a page, again and again, over one connection."""

import http.client
from collections.abc import Mapping
from urllib.parse import urlencode

from benchmarks.measure import repeat
from tests.support.serving import Served

OK = 200


def asked(
    served: Served, path: str, typed: Mapping[str, str] | None = None, *, times: int = 100
) -> tuple[float, ...]:
    """Ask for a page so many times, after a few to warm up; return each duration [s]."""
    connection = http.client.HTTPConnection("127.0.0.1", served.port)
    body = None if typed is None else urlencode(typed)
    headers = {"Sec-Fetch-Site": "same-origin"}
    if body is not None:
        headers["Content-Type"] = "application/x-www-form-urlencoded"

    def ask() -> None:
        connection.request("GET" if body is None else "POST", path, body, headers)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == OK, f"{path}: {answer.status}"

    try:
        return repeat(ask, times=times)
    finally:
        connection.close()
