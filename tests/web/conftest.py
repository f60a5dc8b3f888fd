"""The app and a client that behaves like one of our own pages."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.datastructures import Headers

from annotate.library.store import Library
from tests.browser.seed import Seeded, seed
from web import create_app
from web.context import EXTENSION
from web.security import TOKEN_HEADER


class OwnPage(FlaskClient):
    """Sends the token of this run with every request, as our pages do."""

    def open(self, *args: Any, **kwargs: Any) -> Any:
        headers = Headers(kwargs.pop("headers", None))
        headers.setdefault(TOKEN_HEADER, self.application.extensions[EXTENSION].token)
        kwargs.setdefault("buffered", True)  # so that a file is closed with its answer
        return super().open(*args, headers=headers, **kwargs)


@pytest.fixture
def app(library: Library) -> Flask:
    """The app of the test's library."""
    return create_app(library)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A client that is one of our own pages."""
    app.test_client_class = OwnPage
    return app.test_client()


@pytest.fixture
def stranger(app: Flask) -> FlaskClient:
    """A client that knows no token."""
    return FlaskClient(app)


@pytest.fixture
def seeded(library: Library) -> Seeded:
    """An invented library with sessions, reeds, lines, tags, readings and a lesson."""
    return seed(library)
