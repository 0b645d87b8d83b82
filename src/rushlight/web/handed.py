"""Handing out a file that was attached: for download only, as what its first bytes say it is."""

from __future__ import annotations

from urllib.parse import quote

from starlette.responses import Response

from rushlight.workshop.hazard_views import Attachment


def handed(found: Attachment) -> Response:
    """Return an attached file; a browser saves it, and never shows or runs it."""
    called = quote(found.line.name, safe="")
    return Response(
        found.content,
        media_type=found.line.media,
        headers={
            "content-disposition": f"attachment; filename*=UTF-8''{called}",
            "content-security-policy": "default-src 'none'; sandbox",
        },
    )
