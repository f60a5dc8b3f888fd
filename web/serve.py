"""Serves the pages with waitress until it is stopped."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from waitress import wasyncore
from waitress.server import create_server

from annotate.errors import BadInput
from annotate.library.store import Library
from web.app import BODY_LIMIT_BYTES, LOCAL_HOSTS, create_app

THREADS = 16  # a player holds a connection while it reads; pages and progress must not wait for it
CLOSE_WAIT_S = 5.0


class Server:
    """A server that is bound to its port; ``run`` serves until ``close`` is called from another thread."""

    def __init__(self, library: Library, host: str = "127.0.0.1", port: int = 0) -> None:
        shown = f"[{host}]" if ":" in host else host
        app = create_app(library, hosts=(*LOCAL_HOSTS, shown))
        self._channels: dict[int, Any] = {}
        try:
            # Twice the app's own limit: the app, which can say why, refuses first.
            self._server = create_server(
                app,
                map=self._channels,
                host=host,
                port=port,
                threads=THREADS,
                ident=None,
                max_request_body_size=2 * BODY_LIMIT_BYTES,
            )
        except OSError as error:
            self._close_channels()
            raise BadInput(
                f"cannot be used ({error.strerror})", f"port {port} of {host}", "Choose another port, or 0 for any."
            ) from error
        self.port = int(self._server.effective_port)
        self.address = f"http://{shown}:{self.port}/"
        self._has_ended = threading.Event()
        self._has_ended.set()

    def run(self) -> None:
        """Serve until closed or interrupted."""
        self._has_ended.clear()
        try:
            self._server.run()
        finally:
            self._has_ended.set()

    def close(self) -> None:
        """Finish what is being answered, end ``run``, and give the port back."""
        self._server.task_dispatcher.shutdown()
        if not self._has_ended.is_set():
            self._server.trigger.pull_trigger(
                self._close_channels
            )  # in the thread of the loop, which then has nothing left
            self._has_ended.wait(CLOSE_WAIT_S)
        self._close_channels()

    def _close_channels(self) -> None:
        wasyncore.close_all(self._channels, ignore_all=True)


def serve(
    library: Library,
    host: str = "127.0.0.1",
    port: int = 0,
    on_ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the pages; port 0 takes any free one; ``on_ready`` is given the address once it answers."""
    server = Server(library, host, port)
    try:
        if on_ready:
            on_ready(server.address)
        server.run()
    finally:
        server.close()
