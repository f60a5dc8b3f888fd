"""Errors as answers: one table from class to status, one body for JSON, one page for people.

The body of every JSON error is ``{"error": {"code", "message", "subject", ...}}``.
"""

from __future__ import annotations

import logging
from typing import Any

from flask import Flask, Response, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from annotate import errors
from web.refusals import AskFirst, ForeignHost, ForeignPage, NotJson, TooLarge

log = logging.getLogger(__name__)

STATUS: dict[type[errors.BenchreelError], int] = {
    errors.NotFound: 404,
    errors.BadInput: 400,
    errors.AlreadyThere: 409,
    errors.ChangedElsewhere: 409,
    errors.StepStays: 409,
    errors.Missing: 404,
    errors.NoModel: 503,
    errors.NoSpace: 507,
    errors.Cancelled: 409,
    errors.ToolFailed: 500,
    ForeignHost: 403,
    ForeignPage: 403,
    NotJson: 415,
    TooLarge: 413,
    AskFirst: 409,
    errors.BenchreelError: 500,
}

# Sentences for what the framework itself refuses.
_SENTENCES = {
    404: "There is no such page. Go back, or start from the sessions.",
    405: "This address does not take that kind of request. Load the page again.",
    413: "This is larger than one request may be (24 MB). Files go in pieces through the session's page.",
    416: "That part of the file does not exist. Play it from the start.",
}
_CODES = {404: "not_found", 405: "bad_method", 413: "too_large", 416: "bad_range"}
_TITLES = {403: "Not from here", 404: "Not found", 409: "Something else came first", 413: "Too large"}


def status_of(error: errors.BenchreelError) -> int:
    """The status of the nearest class in the table."""
    return next(STATUS[kind] for kind in type(error).__mro__ if kind in STATUS)


def register(app: Flask) -> None:
    """Answer every error of this app in our own form."""
    app.register_error_handler(errors.BenchreelError, _ours)
    app.register_error_handler(HTTPException, _framework)
    app.register_error_handler(Exception, _unexpected)


def _ours(error: errors.BenchreelError) -> Response:
    return _answer(error.data(), status_of(error))


def _framework(error: HTTPException) -> Response:
    if error.code is None or error.code < 400:
        return make_response(error.get_response())
    sentence = _SENTENCES.get(error.code, str(error.description or error.name))
    data = {"code": _CODES.get(error.code, "refused"), "message": sentence, "subject": request.path}
    answer = _answer(data, error.code)
    for name, value in error.get_headers():
        if name in ("Content-Range", "Allow"):
            answer.headers[name] = value
    return answer


def _unexpected(error: Exception) -> Response:
    log.error("unexpected error at %s", request.path, exc_info=error)
    sentence = "Something in the program failed. Nothing was changed. Try again; if it stays, look at its log."
    return _answer({"code": "failed", "message": sentence, "subject": request.path}, 500)


def _answer(data: dict[str, Any], status: int) -> Response:
    if wants_json():
        return make_response(jsonify({"error": data}), status)
    if data["code"] == ForeignHost.code:  # such a request has no addresses of its own to link to
        return make_response(data["message"], status, {"Content-Type": "text/plain; charset=utf-8"})
    title = _TITLES.get(status, "That did not work")
    return make_response(render_template("error.html", title=title, error=data, status=status), status)


def wants_json() -> bool:
    """Whether the asker is a script: the addresses under /api answer in JSON, and so do those who ask for it."""
    if request.path.startswith("/api/"):
        return True
    best = request.accept_mimetypes.best_match(("text/html", "application/json"), "text/html")
    return best == "application/json"
