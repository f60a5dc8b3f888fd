"""Serves the pages with waitress until it is stopped."""

from __future__ import annotations

import contextlib
from collections.abc import Callable

from waitress.server import create_server

from annotate.errors import BadInput
from annotate.library.store import Library
from web.app import BODY_LIMIT_BYTES, LOCAL_HOSTS, create_app

THREADS = 8  # a player holds a connection while it reads; pages and progress must not wait for it


class Server:
    """A server that is bound to its port; ``run`` serves until ``close`` is called from another thread."""

    def __init__(self, library: Library, host: str = "127.0.0.1", port: int = 0) -> None:
        app = create_app(library, hosts=(*LOCAL_HOSTS, host if ":" not in host else f"[{host}]"))
        try:
            # Twice the app's own limit: the app, which can say why, refuses first.
            self._server = create_server(
                app, host=host, port=port, threads=THREADS, ident=None, max_request_body_size=2 * BODY_LIMIT_BYTES
            )
        except OSError as error:
            raise BadInput(
                f"cannot be used ({error.strerror})", f"port {port} of {host}", "Choose another port, or 0 for any."
            ) from error
        self.port = int(self._server.effective_port)
        shown = f"[{host}]" if ":" in host else host
        self.address = f"http://{shown}:{self.port}/"

    def run(self) -> None:
        """Serve until closed or interrupted."""
        with contextlib.suppress(KeyboardInterrupt):
            self._server.run()

    def close(self) -> None:
        """Give the port back."""
        self._server.close()
        self._server.task_dispatcher.shutdown()


def serve(
    library: Library,
    host: str = "127.0.0.1",
    port: int = 0,
    on_ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the pages; port 0 takes any free one; ``on_ready`` is given the address once it answers."""
    server = Server(library, host, port)
    if on_ready:
        on_ready(server.address)
    try:
        server.run()
    finally:
        server.close()
