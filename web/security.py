"""Who may ask, and what a page may load.

The pages hold a maker's private recordings, so being on this machine is not
enough: a foreign host name can be pointed at 127.0.0.1 (the Host is checked),
and any page open in the same browser can send requests here (a change needs
the same origin and the token of this run, and JSON only as JSON).
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Sequence
from urllib.parse import urlsplit

from flask import Flask, Response, request

from web.context import context
from web.refusals import ForeignHost, ForeignPage

TOKEN_HEADER = "X-Page-Token"
TOKEN_FIELD = "page_token"
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
PAGE_POLICY = (
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
    "frame-src 'self'"
)


def new_token() -> str:
    """A secret for one run of the program."""
    return secrets.token_urlsafe(32)


def guard(app: Flask, hosts: Sequence[str]) -> None:
    """Put the checks before, and the headers after, every answer of the app."""
    names = frozenset(urlsplit(f"//{host}").hostname or host for host in hosts)

    @app.before_request
    def check() -> None:
        _check_host(names)
        if request.method not in SAFE_METHODS:
            _check_origin()
            _check_token()

    app.after_request(_headers)


def _check_host(names: frozenset[str]) -> None:
    given = request.headers.get("Host", "")
    try:
        name = urlsplit(f"//{given}").hostname
    except ValueError:
        name = None
    if name not in names or "@" in given or "/" in given:
        raise ForeignHost("is not a name of this program", given or "(no host)", "Open it at http://127.0.0.1.")


def _check_origin() -> None:
    """The browser's own word on where a request comes from; a program (no such header) has the token alone."""
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    origin = request.headers.get("Origin", request.host_url.rstrip("/"))
    if site not in ("same-origin", "none") or origin != request.host_url.rstrip("/"):
        raise ForeignPage("This change was asked for by another site", origin, "Use the pages of this program.")


def _check_token() -> None:
    is_form = request.mimetype in ("application/x-www-form-urlencoded", "multipart/form-data")
    given = request.headers.get(TOKEN_HEADER) or (request.form.get(TOKEN_FIELD, "") if is_form else "")
    if not hmac.compare_digest(given.encode(), context().token.encode()):
        raise ForeignPage(
            "This page was opened before the program was started again", next_step="Load the page again, then repeat."
        )


def _headers(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", PAGE_POLICY)
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    if response.mimetype in ("text/html", "application/json"):
        response.headers["Cache-Control"] = "no-store"
    return response
