"""Serve an ASGI application from a thread for the length of a test."""

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import uvicorn

START_LIMIT = 10.0  # seconds to wait for the first answer, generous for a loaded machine


@dataclass(frozen=True, slots=True)
class Served:
    """Where a served application answers."""

    port: int

    @property
    def host(self) -> str:
        """Name the machine and port: 127.0.0.1:54321."""
        return f"127.0.0.1:{self.port}"

    @property
    def url(self) -> str:
        """Name the address of the first page, without the last slash."""
        return f"http://{self.host}"


@contextlib.contextmanager
def serve(app: Any) -> Iterator[Served]:
    """Serve the application on a free port; stop and join the thread afterwards."""
    # TCP said in full, as the command does it: else asyncio leaves Nagle's 40 ms delay on.
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP) as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        config = uvicorn.Config(
            app, log_level="warning", ws="none", timeout_graceful_shutdown=2, lifespan="auto"
        )
        server = uvicorn.Server(config)
        thread = threading.Thread(
            target=server.run, kwargs={"sockets": [listener]}, name="served", daemon=True
        )
        thread.start()
        try:
            _wait(server, thread)
            yield Served(listener.getsockname()[1])
        finally:
            server.should_exit = True
            thread.join(START_LIMIT)
            assert not thread.is_alive(), "the server did not stop"


def _wait(server: uvicorn.Server, thread: threading.Thread) -> None:
    limit = time.monotonic() + START_LIMIT
    while not server.started:
        assert thread.is_alive(), "the server stopped before it answered; its log says why"
        assert time.monotonic() < limit, f"the server did not answer within {START_LIMIT} s"
        time.sleep(0.01)
