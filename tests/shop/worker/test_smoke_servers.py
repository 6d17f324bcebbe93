"""The same code on SQLite with the file broker and on real PostgreSQL and Redis: jobs are done and none is lost."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.shop.servers import House, free_port, postgres, postgres_program, redis_server, wait_until

needs_postgres = pytest.mark.skipif(
    not postgres_program("initdb"), reason="PostgreSQL is not installed; Debian: apt-get install postgresql"
)
needs_redis = pytest.mark.skipif(
    not shutil.which("redis-server"), reason="Redis is not installed; Debian: apt-get install redis-server"
)


@pytest.fixture(params=["files", pytest.param("servers", marks=[needs_postgres, needs_redis])])
def house(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Any]:
    if request.param == "files":
        opened = House(tmp_path)
        yield opened
        opened.close()
        return
    with postgres() as database, redis_server(free_port()) as broker:
        opened = House(tmp_path, database, broker)
        yield opened
        opened.close()


def test_smoke_a_real_worker_does_a_job_that_was_asked_for(house: Any) -> None:
    house.migrate_and_ask()
    house.go()
    worker = house.worker("anna@bench")
    wait_until(lambda: house.job() == ("done", 1), "the job is done", worker)


def test_smoke_a_job_asked_for_while_a_worker_waits_is_done(house: Any) -> None:
    house.migrate()
    worker = house.worker("anna@bench")
    wait_until(lambda: "ready" in house.log(worker), "the worker waits", worker)
    house.go()
    house.ask()
    wait_until(lambda: house.job() == ("done", 1), "the job is done", worker)


def test_smoke_a_killed_workers_job_is_finished_by_another(house: Any) -> None:
    house.migrate_and_ask()
    first = house.worker("anna@bench")
    wait_until(lambda: house.begun_by() == first.pid, "the first worker begins", first)
    first.kill()
    first.wait()
    assert house.job() == ("running", 1)
    second = house.worker("bert@bench")
    wait_until(lambda: house.begun_by() == second.pid, "the second worker begins", second)
    house.go()
    wait_until(lambda: house.job() == ("done", 2), "the job is done", second)


def test_smoke_two_workers_share_the_jobs_and_do_none_twice(house: Any) -> None:
    house.go()
    house.migrate_and_ask(times=12)
    house.worker("anna@bench")
    house.worker("bert@bench")
    wait_until(lambda: house.jobs() == [("done", 1)] * 12, "all jobs are done")
    assert len(set(house.runs())) == len(house.runs()) == 12


def test_smoke_a_stopped_worker_hands_its_job_back(house: Any) -> None:
    house.migrate_and_ask()
    worker = house.worker("anna@bench")
    wait_until(lambda: house.begun_by() == worker.pid, "the worker begins", worker)
    worker.terminate()
    assert worker.wait(20) == 0
    assert house.job() == ("waiting", 0)


def test_smoke_a_worker_whose_job_does_not_stop_hands_it_back_and_ends(house: Any) -> None:
    house.migrate_and_ask()
    (house.data / "deaf").touch()
    worker = house.worker("anna@bench")
    wait_until(lambda: house.begun_by() == worker.pid, "the worker begins", worker)
    worker.terminate()
    assert worker.wait(20) == 0
    assert house.job() == ("waiting", 0)
    assert "the worker ends without it" in house.log(worker)


@needs_redis
def test_smoke_a_job_asked_for_while_redis_is_down_is_done_once_it_is_up(tmp_path: Path) -> None:
    port = free_port()
    house = House(tmp_path, broker=f"redis://127.0.0.1:{port}/0")
    house.go()
    house.migrate_and_ask()
    assert house.job() == ("waiting", 0)
    with redis_server(port):
        worker = house.worker("anna@bench")
        wait_until(lambda: house.job() == ("done", 1), "the job is done", worker)
        house.close()
