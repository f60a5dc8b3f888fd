"""Makes the Flask app of one library."""

from __future__ import annotations

from collections.abc import Sequence

from flask import Flask

from annotate.library.store import Library
from web import errors, pages, security
from web.context import EXTENSION, Context
from web.incoming import Uploads

LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")
BODY_LIMIT_BYTES = 24 * 1024 * 1024  # one request: a piece of an upload, or a long transcript
FORM_LIMIT_BYTES = BODY_LIMIT_BYTES  # text fields of a form may fill it (the framework's own default is 500 kB)


def create_app(library: Library, *, hosts: Sequence[str] = LOCAL_HOSTS) -> Flask:
    """The app that shows this library; it answers only to the host names in ``hosts``."""
    app = Flask(__name__)
    app.config.update(
        MAX_CONTENT_LENGTH=BODY_LIMIT_BYTES,
        MAX_FORM_MEMORY_SIZE=FORM_LIMIT_BYTES,
        TEMPLATES_AUTO_RELOAD=False,
    )
    app.jinja_options = {"trim_blocks": True, "lstrip_blocks": True}
    app.extensions[EXTENSION] = Context(library, security.new_token(), Uploads(library.folder / "cache" / "uploads"))
    security.guard(app, hosts)
    errors.register(app)
    pages.register(app)
    return app
