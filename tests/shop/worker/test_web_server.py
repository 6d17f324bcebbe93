"""The web server's limits: what does not arrive is closed, what is too large refused, nobody takes all connections."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest

from shop.worker import web_server
from shop.worker.server import listen
from shop.worker.web_server import BODY_BYTES, CONNECTIONS_PER_ADDRESS, HEADER_BYTES, make_server


def hello(environ: Any, start_response: Any) -> Any:
    body = environ["wsgi.input"].read()
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", str(len(str(len(body)))))])
    return [str(len(body)).encode()]


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.setattr(web_server, "HEADER_S", 1.0)
    monkeypatch.setattr(web_server, "BODY_S", 2.0)
    made = make_server(hello, listen("127.0.0.1", 18000))
    thread = threading.Thread(target=made.run, daemon=True)
    thread.start()
    yield made
    made.task_dispatcher.shutdown(timeout=1)
    made.trigger.pull_trigger(lambda: (_ for _ in ()).throw(SystemExit))
    thread.join(5)
    for channel in list(made.active_channels.values()):
        channel.handle_close()
    made.close()


def knock(server: Any, data: Any = b"") -> Any:
    connection = socket.create_connection(("127.0.0.1", int(server.effective_port)), timeout=10)
    with suppress(OSError):
        connection.sendall(data)
    return connection


def answer_of(connection: Any) -> Any:
    """All that comes until the server closes; empty where it says nothing."""
    received = b""
    with connection, suppress(ConnectionError):
        while data := connection.recv(65536):
            received += data
    return received


def drip(connection: Any, seconds: Any) -> None:
    """Send a line of a head now and then; OSError once the other side has closed."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        connection.sendall(b"X-Drip: 1\r\n")
        time.sleep(0.2)


def ask(server: Any) -> Any:
    return answer_of(knock(server, b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"))


def test_a_whole_request_is_answered(server: Any) -> None:
    assert ask(server).startswith(b"HTTP/1.1 200 OK")


def test_a_request_whose_head_does_not_end_is_closed_in_time(server: Any) -> None:
    begun = time.monotonic()
    assert answer_of(knock(server, b"GET / HTTP/1.1\r\nHost: x\r\n")) == b""
    assert time.monotonic() - begun < 5


def test_a_head_that_drips_in_is_closed_all_the_same(server: Any) -> None:
    connection = knock(server, b"GET / HTTP/1.1\r\n")
    with pytest.raises(OSError), connection:
        drip(connection, seconds=8)


def test_a_body_that_does_not_arrive_is_closed_in_time(server: Any) -> None:
    begun = time.monotonic()
    assert answer_of(knock(server, b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\nxx")) == b""
    assert 1.5 < time.monotonic() - begun < 6


def test_a_body_of_a_gigabyte_is_refused_before_it_is_read(server: Any) -> None:
    head = b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000000\r\n\r\n"
    assert answer_of(knock(server, head))[8:].startswith(b" 413")


def test_a_body_in_pieces_is_refused_once_it_is_too_long(server: Any) -> None:
    piece = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
    head = b"POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n"
    assert b"413" in answer_of(knock(server, head + piece * (BODY_BYTES // 0x10000 + 2)))[:20]


def test_a_head_that_is_too_long_is_refused(server: Any) -> None:
    long = b"X-Long: " + b"x" * HEADER_BYTES + b"\r\n"
    assert answer_of(knock(server, b"GET / HTTP/1.1\r\n" + long + b"\r\n"))[8:].startswith(b" 431")


def test_a_hundred_unfinished_requests_of_one_address_do_not_stop_another(server: Any) -> None:
    held = [knock(server, b"GET / HTTP/1.1\r\n") for _ in range(110)]
    other = socket.socket()
    other.bind(("127.0.0.2", 0))  # another machine, as far as the server can tell
    other.settimeout(10)
    begun = time.monotonic()
    other.connect(("127.0.0.1", int(server.effective_port)))
    other.sendall(b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
    assert answer_of(other).startswith(b"HTTP/1.1 200 OK")
    assert time.monotonic() - begun < 3
    assert len(server.active_channels) <= CONNECTIONS_PER_ADDRESS + 1
    for connection in held:
        connection.close()


def test_the_connections_of_the_web_server_in_front_are_not_counted(server: Any) -> None:
    server.proxy = "127.0.0.1"
    held = [knock(server, b"GET / HTTP/1.1\r\n") for _ in range(CONNECTIONS_PER_ADDRESS + 5)]
    assert ask(server).startswith(b"HTTP/1.1 200 OK")
    for connection in held:
        connection.close()
