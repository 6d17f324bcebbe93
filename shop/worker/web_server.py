"""The web server with limits: how long a request may take to arrive, how large it is, how many come from one address.

Without them a hundred unfinished requests from one machine keep everyone out, and a body that never ends fills the
disk. waitress answers the size limits; the times and the connections of one address are ours.
"""

from __future__ import annotations

import socket
import time
from collections.abc import Callable
from typing import Any

from django.core.handlers.wsgi import WSGIHandler
from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher

HEADER_S = 10.0
"""Time for the head of a request to arrive, from its first byte."""
BODY_S = 60.0
"""Time for a whole request to arrive: the largest one needs 150 kB/s."""
IDLE_S = 30
"""Time for a connection to be silent between two requests, or before its first one."""
HEADER_BYTES = 32 * 1024
BODY_BYTES = 9 * 1024 * 1024
"""A photograph of 8 MB and its form; Django refuses a form without files over 2.5 MB."""
CONNECTIONS_PER_ADDRESS = 24
"""A browser opens six to one host; a workshop's router may show several of them under one address."""
# Of all addresses together. Late requests are looked for once a second: far more often than any of the times above.
CONNECTIONS = 200
LOOK_EVERY_S = 1
THREADS = 4
"""Requests are short, and SQLite takes one writer at a time: more threads would only wait for each other."""


class TimedChannel(HTTPChannel):
    """One connection; knows when the request that is arriving began."""

    request_began: float | None = None

    def received(self, data: bytes) -> bool:
        before = self.request
        result: bool = super().received(data)
        if self.request is None:
            self.request_began = None
        # Several requests may come down one connection, and each has its own time.
        elif self.request is not before or self.request_began is None:
            self.request_began = time.monotonic()
        return result

    def is_late(self, now: float) -> bool:
        """Tell whether a request has been arriving for too long."""
        if self.request is None or self.request_began is None:
            return False
        allowed = BODY_S if self.request.headers_finished else HEADER_S
        return now - self.request_began > allowed


class LimitedServer(TcpWSGIServer):
    """A web server that closes connections whose requests do not arrive, and those beyond an address's share."""

    channel_class = TimedChannel
    proxy = ""

    def accept(self) -> tuple[socket.socket, Any] | None:
        """Take the next connection; one beyond the share of its address is closed unread."""
        accepted: tuple[socket.socket, Any] | None = super().accept()
        if accepted is None:
            return None
        connection, address = accepted
        if address[0] == self.proxy:
            return accepted
        open_now = sum(channel.addr[0] == address[0] for channel in self.active_channels.values())
        if open_now < CONNECTIONS_PER_ADDRESS:
            return accepted
        connection.close()
        return None

    def maintenance(self, now: float) -> None:
        """Close what has been silent, and what has been arriving, for too long."""
        super().maintenance(now)
        for channel in list(self.active_channels.values()):
            if channel.is_late(time.monotonic()):
                channel.will_close = True


def in_front(proxy: str) -> dict[str, object]:
    """Settings of another web server in front: to take the word of that address, and of no other.

    Its word is the last hop of `X-Forwarded-For`, and `X-Forwarded-Proto`; from everyone else both are struck out.
    """
    if not proxy:
        return {}
    return {"trusted_proxy": proxy, "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"}}


def make_server(
    application: Callable[..., Any] | WSGIHandler, listener: socket.socket, *, proxy: str = ""
) -> LimitedServer:
    """Return a server on a socket that listens already; `run` serves until its thread ends.

    Parameters
    ----------
    proxy
        The address of the web server in front (see `in_front`). Its connections are not counted, since all visitors
        come through it: it must limit them itself.
    """
    settings = Adjustments(
        sockets=[listener],
        threads=THREADS,
        ident="Stowright",
        connection_limit=CONNECTIONS,
        channel_timeout=IDLE_S,
        cleanup_interval=LOOK_EVERY_S,
        max_request_header_size=HEADER_BYTES,
        max_request_body_size=BODY_BYTES,
        **in_front(proxy),
    )
    dispatcher = ThreadedTaskDispatcher()
    dispatcher.set_thread_count(settings.threads)
    where = (listener.family, listener.type, listener.proto, listener.getsockname())
    server = LimitedServer(application, {}, True, listener, dispatcher, settings, where, bind_socket=False)
    server.proxy = proxy
    return server
