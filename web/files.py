"""Text files that come in and go out through the pages."""

from __future__ import annotations

from flask import Response, request

from annotate.formats.transcript import decoded
from web.refusals import NotJson


def sent_text(what: str) -> str:
    """The text of a file that is sent as its bytes; ``what`` begins the sentence of a refusal."""
    if request.mimetype != "application/octet-stream":
        raise NotJson(f"{what} is taken only as application/octet-stream", request.mimetype or "(no type)")
    return decoded(request.get_data())


def attached(text: str, content_type: str, name: str) -> Response:
    """A text as a file to keep under that name."""
    answer = Response(text, content_type=content_type)
    answer.headers.set("Content-Disposition", "attachment", filename=name)
    return answer
