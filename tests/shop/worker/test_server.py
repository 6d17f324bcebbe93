"""The serve command as a real process: it starts, says where it is, refuses a second one, and leaves nothing behind."""

import os
import signal
import socket
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from shop.worker import server
from tests.helpers import matched
from tests.shop.servers import House, free_port, wait_until


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Any]:
    opened = House(tmp_path)
    yield opened
    opened.close()


def serve(house: Any, port: Any = None) -> Any:
    process = house.start("manage.py", "serve", "--without-demo", PORT=str(port or free_port()))
    wait_until(lambda: "Stowright is at" in house.log(process), "serving begins", process)
    return process


def address(house: Any, process: Any) -> Any:
    return matched(r"Stowright is at (\S+)", house.log(process))[1]


def is_alive(pid: Any) -> Any:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def begin_a_job(house: Any, server: Any) -> Any:
    house.ask()
    wait_until(house.begun_by, "the worker begins", server)
    return house.begun_by()


def test_serve_it_answers_where_it_says(house: Any) -> None:
    with urllib.request.urlopen(address(house, serve(house)) + "admin/login/") as answer:
        assert answer.status == 200


def test_serve_a_taken_port_gives_way_to_the_next_free_one_and_says_so(house: Any) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        server = serve(house, port)
        assert f"Port {port} is taken." in house.log(server)
        assert address(house, server) != f"http://127.0.0.1:{port}/"


def test_serve_a_second_one_on_the_same_data_says_where_the_first_is(house: Any) -> None:
    first = serve(house)
    second = house.start("manage.py", "serve", "--without-demo")
    assert second.wait(60) == 1
    assert f"Stowright is already running at {address(house, first)}" in house.log(second)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_serve_stopped_it_hands_its_job_back_and_leaves_no_process(house: Any, number: Any) -> None:
    server = serve(house)
    worker = begin_a_job(house, server)
    server.send_signal(number)
    assert server.wait(5) == 0
    assert not is_alive(worker)
    assert house.job() == ("waiting", 0)


def test_serve_ends_a_worker_whose_job_does_not_stop_without_killing_it(house: Any) -> None:
    server = serve(house)
    (house.data / "deaf").touch()
    begin_a_job(house, server)
    server.terminate()
    assert server.wait(10) == 0
    assert house.job() == ("waiting", 0)
    assert "the worker ends without it" in (house.data / "logs" / "worker.log").read_text()


def test_serve_killed_outright_it_takes_its_worker_along(house: Any) -> None:
    server = serve(house)
    worker = begin_a_job(house, server)
    server.kill()
    wait_until(lambda: not is_alive(worker), "the worker ends")
    assert house.job() == ("waiting", 0)


def test_serve_a_killed_worker_is_started_again_and_its_job_done(house: Any) -> None:
    server = serve(house)
    worker = begin_a_job(house, server)
    os.kill(worker, signal.SIGKILL)
    house.go()
    wait_until(lambda: house.job() == ("done", 2), "the job is done", server)
    assert "The worker ended (-9) and is started again" in house.log(server)


def test_serve_started_again_it_goes_on_with_what_was_left(house: Any) -> None:
    server = serve(house)
    begin_a_job(house, server)
    server.terminate()
    server.wait(5)
    house.go()
    again = serve(house)
    wait_until(lambda: house.job() == ("done", 1), "the job is done", again)


def test_serve_the_first_owners_link_is_shown_until_there_is_an_owner(house: Any) -> None:
    server = serve(house)
    first = matched(r"makes the first owner, once: (\S+)", house.log(server))[1]
    with urllib.request.urlopen(first) as answer:
        assert answer.status == 200
    server.terminate()
    server.wait(5)
    house.run(
        "from shop.models import Membership, Shop, User; owner = User.objects.create_user(username='owner');"
        "Membership.objects.create(shop=Shop.objects.create(name='Forge'), user=owner, role='owner')"
    )
    assert "first owner" not in house.log(serve(house))


def test_serve_a_port_that_is_not_one_is_refused_by_name(house: Any) -> None:
    server = house.start("manage.py", "serve", PORT="eighty")
    assert server.wait(60) == 1
    assert "PORT must be a whole number from 1 to 65535; it is 'eighty'." in house.log(server)


def test_serve_a_hold_can_be_taken_once_and_again_after_its_release(tmp_path: Path) -> None:
    hold = server.Hold(tmp_path / "lock")
    hold.publish("http://127.0.0.1:8000/")
    with pytest.raises(server.AlreadyRunning, match=r"127\.0\.0\.1:8000"):
        server.Hold(tmp_path / "lock")
    hold.release()
    server.Hold(tmp_path / "lock").release()


def test_serve_a_host_that_is_not_ours_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="Cannot assign requested address"):
        server.listen("192.0.2.1", 8000)


def test_serve_a_long_log_is_put_aside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "LOG_LIMIT_BYTES", 10)
    log = tmp_path / "worker.log"
    log.write_text("a long story")
    server.Child(["-c", "print('new')"], folder=tmp_path, log=log).process.wait()
    assert log.read_text() == "new\n"
    assert (tmp_path / "worker.1.log").read_text() == "a long story"


def test_serve_a_child_that_does_not_heed_is_killed(tmp_path: Path) -> None:
    stubborn = (
        "import signal, time; signal.signal(signal.SIGTERM, signal.SIG_IGN); print(1, flush=True); time.sleep(60)"
    )
    log = tmp_path / "log"
    child = server.Child(["-c", stubborn], folder=tmp_path, log=log)
    wait_until(log.read_text, "the child is deaf", child.process)
    child.ask_to_end()
    assert child.end(within_s=0.2) is False
    assert child.process.returncode == -signal.SIGKILL


def test_a_database_that_is_none_is_said_in_a_sentence(house: Any) -> None:
    (house.data / "db.sqlite3").write_bytes(b"no database at all" * 1000)
    process = house.start("manage.py", "serve", "--without-demo", PORT=str(free_port()))
    assert process.wait(timeout=60) == 1
    assert "CommandError: The database does not answer: file is not a database" in house.log(process)
    assert "Traceback" not in house.log(process)
