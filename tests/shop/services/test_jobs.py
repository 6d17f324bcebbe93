"""Jobs: claimed once, leased, handed back, tried again, given up in words, swept up and rung for."""

import errno
import sqlite3
import threading
from datetime import timedelta
from typing import Any

import pytest
from django.db import DatabaseError
from django.db import OperationalError as DatabaseTrouble
from django.utils import timezone
from kombu.exceptions import OperationalError

from shop import app
from shop.models import Job, Order
from shop.services import jobs
from shop.services.errors import JobCancelled, JobRejected
from shop.services.turns import next_in_turn
from shop.worker import tasks
from tests.helpers import present

pytestmark = pytest.mark.both_databases


@pytest.fixture
def do(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Registers a handler for planning jobs for the length of one test."""

    def register(function: Any) -> None:
        monkeypatch.setitem(jobs._handlers, "plan", function)

    return register


@pytest.fixture
def rings(monkeypatch: pytest.MonkeyPatch) -> Any:
    heard = []
    monkeypatch.setattr(app, "send_task", lambda name, args, **options: heard.append(args[0]))
    return heard


@pytest.fixture
def job(order: Order) -> Any:
    return Job.objects.create(order=order, kind="plan")


def now(job: Any) -> Any:
    return Job.objects.get(pk=job.pk)


def nothing(job: Any, *, progress: Any, stop: Any) -> None:
    """A handler that has nothing to do."""


def break_off(job: Any, *, progress: Any, stop: Any) -> None:
    raise RuntimeError("the saw is blunt")


def lapse(job: Any, **values: Any) -> None:
    Job.objects.filter(pk=job.pk).update(lease_until=timezone.now() - timedelta(seconds=1), **values)


def ask(order: Any, **payload: Any) -> Any:
    return jobs.enqueue(shop=order.shop, order=order, kind="plan", payload=payload)


@pytest.mark.django_db(transaction=True)
def test_jobs_a_notice_that_breaks_off_does_not_break_off_what_was_asked_for(
    order: Order, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(app, "send_task", lambda *args, **options: 1 / 0)
    assert Job.objects.get(pk=ask(order).pk).state == "waiting"
    assert "on_commit" in caplog.text


def test_jobs_the_bell_rings_only_once_the_row_is_committed(
    order: Order, rings: Any, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        job = ask(order)
        assert rings == []
    assert rings == [job.pk]


def test_jobs_asking_twice_while_the_first_waits_asks_once(order: Order, rings: Any) -> None:
    assert ask(order, seconds=2) == ask(order, seconds=2)
    assert ask(order, seconds=5) != ask(order, seconds=2)


def test_jobs_asking_again_for_the_same_while_the_first_runs_is_that_one(order: Order, rings: Any) -> None:
    first = ask(order)
    jobs.claim(first.pk, "anna")
    assert ask(order) == first


def test_jobs_a_broker_that_is_down_loses_no_job(job: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def down(*args: Any, **options: Any) -> None:
        raise OperationalError("connection refused")

    monkeypatch.setattr(app, "send_task", down)
    assert jobs.notify_workers(job.pk) is False
    assert jobs.recover() == 0
    assert now(job).state == "waiting"


def claimed_by_anna(job: Job) -> Job:
    """The job as a worker got it, who was the first to ask."""
    return present(jobs.claim(job.pk, "anna"))


def test_jobs_a_job_is_claimed_by_one_worker_only(job: Any) -> None:
    assert claimed_by_anna(job).state == "running"
    assert jobs.claim(job.pk, "bert") is None


def test_jobs_a_claim_counts_the_attempt_and_starts_a_lease(job: Any, settings: Any) -> None:
    claimed = claimed_by_anna(job)
    assert claimed.attempts == 1
    assert claimed.lease_owner.startswith("anna/")
    assert timedelta(0) < present(claimed.lease_until) - timezone.now() <= timedelta(seconds=settings.JOB_LEASE_SECONDS)


def test_jobs_a_job_that_is_done_is_not_claimed_again(job: Any, do: Any) -> None:
    do(nothing)
    assert jobs.work(job.pk, "anna") is True
    assert jobs.work(job.pk, "anna") is False
    assert (now(job).state, now(job).lease_owner, now(job).lease_until) == ("done", "", None)
    assert now(job).finished_at >= now(job).started_at


def test_jobs_a_job_that_does_not_exist_is_not_worked(db: Any) -> None:
    assert jobs.work(999, "anna") is False


def test_jobs_the_last_progress_is_kept_even_when_it_comes_fast(job: Any, do: Any) -> None:
    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        for step in range(50):
            progress({"step": step})

    do(handler)
    jobs.work(job.pk, "anna")
    assert now(job).progress == {"step": 49}


def test_jobs_the_first_progress_is_seen_at_once(job: Any, do: Any) -> None:
    seen = []

    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        progress({"step": 1})
        seen.append(now(job).progress)

    do(handler)
    jobs.work(job.pk, "anna")
    assert seen == [{"step": 1}]


def test_jobs_a_refusal_fails_at_once_with_its_sentence(job: Any, do: Any) -> None:
    def refuse(job: Any, *, progress: Any, stop: Any) -> None:
        raise JobRejected("A-17: no box is long enough for CH125-007.")

    do(refuse)
    jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).error) == ("failed", "A-17: no box is long enough for CH125-007.")


def test_jobs_one_that_breaks_off_waits_again_and_is_given_up_in_words(
    job: Any, do: Any, caplog: pytest.LogCaptureFixture
) -> None:
    do(break_off)
    states = []
    for _ in range(job.max_attempts):
        jobs.work(job.pk, "anna")
        states.append(now(job).state)
    assert states == ["waiting", "waiting", "failed"]
    assert "broke off each time" in now(job).error
    assert "blunt" not in now(job).error
    assert "the saw is blunt" in caplog.text


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_jobs_one_that_cannot_be_written_waits_and_goes_on_by_itself(
    job: Job, do: Any, order: Order, rings: Any, code: int
) -> None:
    def closed(job: Any, *, progress: Any, stop: Any) -> None:
        raise OSError(code, "whatever the system says")

    do(closed)
    for _ in range(2 * job.max_attempts):
        assert jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).attempts, now(job).lease_owner) == ("waiting", 0, "")
    assert "goes on by itself" in now(job).error
    jobs.recover()
    assert rings == [job.pk]
    do(nothing)
    assert jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).error) == ("done", "")


def test_jobs_what_was_put_off_keeps_nothing_else_from_its_turn(job: Job, do: Any, order: Order) -> None:
    later = Job.objects.create(order=order, kind="plan")
    jobs.put_off(present(jobs.claim(job.pk, "anna")), "The disk is full.")
    assert next_in_turn() == [later.pk, job.pk]


def test_jobs_a_wrong_statement_is_not_tried_for_ever(job: Job, do: Any) -> None:
    def wrong(job: Any, *, progress: Any, stop: Any) -> None:
        cause, error = sqlite3.OperationalError("no such table"), DatabaseTrouble("no such table")
        cause.sqlite_errorcode = sqlite3.SQLITE_ERROR
        raise error from cause

    do(wrong)
    for _ in range(job.max_attempts):
        jobs.work(job.pk, "anna")
    assert now(job).state == "failed"


def test_jobs_a_kind_that_nobody_handles_is_given_up_too(
    order: Order, rings: Any, caplog: pytest.LogCaptureFixture
) -> None:
    job = Job.objects.create(order=order, kind="whittle", max_attempts=1)
    jobs.work(job.pk, "anna")
    assert now(job).state == "failed"


def test_jobs_a_stopped_job_waits_as_if_never_claimed(job: Any, do: Any) -> None:
    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        progress({"step": 1})
        jobs.request_stop()
        if stop():
            raise JobCancelled

    do(handler)
    jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).attempts, now(job).started_at, now(job).progress) == ("waiting", 0, None, {})


@pytest.mark.django_db(transaction=True)
def test_jobs_a_handler_slow_to_stop_has_its_job_handed_back_for_it(
    job: Any, do: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "STOP_GRACE_S", 0)

    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        jobs.request_stop()
        while now(job).state == "running":
            threading.Event().wait(0.02)

    do(handler)
    jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).attempts, now(job).lease_owner) == ("waiting", 0, "")


@pytest.mark.django_db(transaction=True)
def test_jobs_a_job_that_could_not_be_handed_back_yet_is_handed_back_a_little_later(
    job: Any, do: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_back, tried = jobs.requeue, []

    def busy_once(held: Any) -> Any:
        tried.append(held.pk)
        if len(tried) == 1:
            raise DatabaseError("database is locked")
        return hand_back(held)

    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        jobs.request_stop()
        while now(job).state == "running":
            threading.Event().wait(0.02)

    monkeypatch.setattr(jobs, "STOP_GRACE_S", 0)
    monkeypatch.setattr(jobs, "requeue", busy_once)
    do(handler)
    jobs.work(job.pk, "anna")
    assert (now(job).state, tried) == ("waiting", [job.pk, job.pk])


def test_jobs_a_worker_torn_down_by_force_hands_back_what_it_can(job: Any, do: Any) -> None:
    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        raise SystemExit

    do(handler)
    with pytest.raises(SystemExit):
        jobs.work(job.pk, "anna")
    assert (now(job).state, now(job).attempts) == ("waiting", 0)


def test_jobs_nothing_is_claimed_once_a_stop_is_requested(job: Any, do: Any) -> None:
    do(nothing)
    jobs.request_stop()
    assert jobs.work(job.pk, "anna") is False
    assert now(job).state == "waiting"


def test_jobs_a_handler_that_finishes_in_spite_of_a_stop_is_done(job: Any, do: Any) -> None:
    do(lambda job, *, progress, stop: jobs.request_stop())
    jobs.work(job.pk, "anna")
    assert now(job).state == "done"


def test_jobs_a_worker_that_lost_its_lease_changes_nothing(job: Any) -> None:
    late = claimed_by_anna(job)
    lapse(job)
    jobs.recover()
    current = claimed_by_anna(job)
    outcomes = [jobs.renew(late), jobs.finish(late), jobs.fail(late, "no"), jobs.requeue(late)]
    assert outcomes == [False] * 4
    assert now(job).lease_owner == current.lease_owner


def test_jobs_renewing_extends_the_lease(job: Any) -> None:
    claimed = claimed_by_anna(job)
    lapse(job)
    assert jobs.renew(claimed) is True
    assert now(job).lease_until > timezone.now()


def test_jobs_recovery_takes_back_what_a_dead_worker_held(job: Any, rings: Any) -> None:
    jobs.claim(job.pk, "anna")
    lapse(job)
    assert jobs.recover() == 1
    assert rings == [job.pk]
    assert (now(job).state, now(job).attempts) == ("waiting", 1)


def test_jobs_recovery_leaves_a_running_job_alone(job: Any, rings: Any) -> None:
    jobs.claim(job.pk, "anna")
    assert jobs.recover() == 0
    assert now(job).state == "running"


def test_jobs_recovery_gives_up_a_job_that_killed_its_workers_too_often(job: Any, rings: Any) -> None:
    jobs.claim(job.pk, "anna")
    lapse(job, attempts=job.max_attempts)
    jobs.recover()
    assert now(job).state == "failed"
    assert "tried several times" in now(job).error
    assert rings == []


def test_jobs_recovery_rings_for_the_oldest_first_and_not_for_all_at_once(order: Order, rings: Any) -> None:
    rows = [Job.objects.create(order=order, kind="plan") for _ in range(jobs.MOST_NOTICES + 5)]
    assert jobs.recover() == jobs.MOST_NOTICES
    assert rings == [row.pk for row in rows[: jobs.MOST_NOTICES]]


@pytest.mark.django_db(transaction=True)
def test_jobs_a_long_job_keeps_its_lease_and_learns_when_it_is_lost(job: Any, do: Any, settings: Any) -> None:
    settings.JOB_LEASE_SECONDS = 0.3
    lost = threading.Event()

    def handler(job: Any, *, progress: Any, stop: Any) -> None:
        first = now(job).lease_until
        while now(job).lease_until == first:
            lost.wait(0.02)
        Job.objects.filter(pk=job.pk).update(lease_owner="someone else")
        while not stop():
            lost.wait(0.02)
        lost.set()
        raise JobCancelled

    do(handler)
    jobs.work(job.pk, "anna")
    assert lost.is_set()
    assert now(job).lease_owner == "someone else"


def test_jobs_the_task_works_the_row_it_is_rung_for(job: Any, do: Any) -> None:
    do(nothing)
    tasks.run_job(job.pk)
    assert now(job).state == "done"
