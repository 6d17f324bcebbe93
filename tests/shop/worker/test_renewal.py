"""A worker begins anew after so many jobs, in its own process and without losing one."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.shop.servers import House, wait_until


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Any]:
    opened = House(tmp_path)
    yield opened
    opened.close()


def test_a_worker_begins_anew_after_its_jobs_and_loses_none(house: Any) -> None:
    house.go()
    house.migrate_and_ask(times=5)
    command = ["-m", "celery", "-A", "shop", "worker", "--pool", "threads", "--concurrency", "1", "-n", "anna@bench"]
    worker = house.start(*command, "-l", "INFO", STOWRIGHT_WORKER_JOBS="2", STOWRIGHT_JOB_RECOVERY_SECONDS="1")
    wait_until(lambda: house.jobs() == [("done", 1)] * 5, "all jobs are done", worker)
    assert house.log(worker).count("begins anew after 2 jobs") == 2
    assert len(house.runs()) == 5 and worker.poll() is None
