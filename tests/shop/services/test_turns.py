"""Jobs are cancelled by whoever may ask for them, people take turns, and a clock that is set back stops nothing."""

import threading
import time
from datetime import timedelta
from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.models import AuditEntry, BoxPlan, Job, Order, OrderLine, Parcel, Piece, Product, User
from shop.services import allocation, audit, jobs, planning, turns
from shop.services.errors import JobCancelled
from shop.worker import tasks
from tests.helpers import present
from tests.shop.api.test_api import assert_error, client_of
from tests.shop.conftest import make_piece

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ready(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


@pytest.fixture
def done(monkeypatch: pytest.MonkeyPatch) -> Any:
    """The jobs in the order they are done; doing one takes no time."""
    seen = []

    def do(job: Any, *, progress: Any, stop: Any) -> None:
        seen.append(job.pk)

    monkeypatch.setitem(jobs._handlers, "plan", do)
    return seen


def asked(order: Any, person: Any, times: Any = 1) -> Any:
    return [Job.objects.create(order=order, kind="plan", asked_by=person).pk for _ in range(times)]


def test_a_job_remembers_who_asked_for_it_and_so_do_the_papers_of_its_plan(ready: Order, packer: User) -> None:
    token = audit.actor.set(packer)
    try:
        job = planning.request_plan(ready, 1)
    finally:
        audit.actor.reset(token)
    tasks.run_job(job.pk)
    assert list(Job.objects.order_by("pk").values_list("kind", "asked_by")) == [
        ("plan", packer.pk),
        ("papers", packer.pk),
    ]


def test_one_job_of_one_person_comes_before_the_queue_of_another(
    order: Order, owner: User, packer: User, done: Any
) -> None:
    queue = asked(order, packer, 6)
    jobs.work_next("anna")
    (alone,) = asked(order, owner)
    for _ in range(3):
        jobs.work_next("anna")
    assert done == [queue[0], alone, queue[1], queue[2]]


def test_two_queues_are_done_by_turns(order: Order, owner: User, packer: User, done: Any) -> None:
    first, second = asked(order, packer, 3), asked(order, owner, 3)
    while jobs.work_next("anna"):
        pass
    assert done == [first[0], second[0], first[1], second[1], first[2], second[2]]


def test_jobs_that_nobody_in_particular_asked_for_have_a_turn_too(order: Order, owner: User, done: Any) -> None:
    demo, mine = asked(order, None, 2), asked(order, owner, 2)
    while jobs.work_next("anna"):
        pass
    assert done == [demo[0], mine[0], demo[1], mine[1]]


@pytest.mark.django_db(transaction=True)
def test_a_long_search_ends_once_somebody_else_waits(
    line: OrderLine,
    product: Product,
    packer: User,
    owner: User,
    monkeypatch: pytest.MonkeyPatch,
    settings: Any,
) -> None:
    settings.JOB_LEASE_SECONDS = 3600
    monkeypatch.setattr(planning, "SECONDS_MANY", 1)
    pieces = [make_piece(product, number) for number in range(20, 30)]
    type(line).objects.filter(pk=line.pk).update(quantity=10)
    line.refresh_from_db()
    allocation.allocate(line.order, [(line, piece) for piece in pieces])
    job = planning.request_plan(Order.objects.get(), planning.MOST_SECONDS)
    Job.objects.filter(pk=job.pk).update(asked_by=packer)
    other = Order.objects.create(customer=line.order.customer, number=18)
    asked(other, owner)
    begun = time.monotonic()
    jobs.work(job.pk, "anna")
    assert time.monotonic() - begun < planning.MOST_SECONDS / 2
    assert Job.objects.get(pk=job.pk).state == "done" and BoxPlan.objects.count() == 1


def test_a_waiting_job_is_cancelled_by_a_button_and_never_done(ready: Order, owner: User, client: Client) -> None:
    job = planning.request_plan(ready, 1)
    client.force_login(owner)
    page = client.get(reverse("order", args=[17])).content.decode()
    assert reverse("cancel-job", args=[17, job.pk]) in page
    answer = client.post(reverse("cancel-job", args=[17, job.pk]), follow=True).content.decode()
    assert "Planning is cancelled; nothing has changed." in answer
    assert not jobs.work_next("anna") and Job.objects.get().state == "cancelled"
    assert reverse("cancel-job", args=[17, job.pk]) not in answer
    assert AuditEntry.objects.filter(act="job cancelled", by=owner).count() == 1
    again = client.post(reverse("cancel-job", args=[17, job.pk]), follow=True).content.decode()
    assert "there is nothing to cancel" in again


@pytest.mark.django_db(transaction=True)
def test_a_running_job_notices_that_it_is_cancelled_within_seconds(
    order: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "LOOK_EVERY_S", 1.0)
    noticed = threading.Event()

    def search(job: Any, *, progress: Any, stop: Any) -> None:
        jobs.cancel(Job.objects.get(pk=job.pk))
        deadline = time.monotonic() + 10
        while not stop() and time.monotonic() < deadline:
            time.sleep(0.02)
        if stop():
            noticed.set()
        raise JobCancelled

    monkeypatch.setitem(jobs._handlers, "plan", search)
    job = Job.objects.create(order=order, kind="plan")
    jobs.work(job.pk, "anna")
    assert noticed.is_set() and Job.objects.get().state == "cancelled"


def test_what_a_cancelled_job_found_is_not_stored(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    job = planning.request_plan(ready, 1)
    search = planning.plan_now

    def cancelled_meanwhile(*args: Any, **options: Any) -> Any:
        jobs.cancel(Job.objects.get(pk=job.pk))
        return search(*args, **options)

    monkeypatch.setattr(planning, "plan_now", cancelled_meanwhile)
    jobs.work(job.pk, "anna")
    assert Job.objects.get().state == "cancelled"
    assert not BoxPlan.objects.exists() and not Parcel.objects.exists()
    assert planning.request_plan(ready, 1).pk != job.pk


@pytest.mark.parametrize(("role", "status"), [("packer", 302), ("owner", 302), ("bookkeeper", 403), ("stranger", 404)])
def test_a_plan_is_cancelled_by_who_may_ask_for_one(
    request: pytest.FixtureRequest, client: Client, order: Order, role: Any, status: Any
) -> None:
    job = Job.objects.create(order=order, kind="plan")
    client.force_login(request.getfixturevalue(role))
    assert client.post(reverse("cancel-job", args=[17, job.pk])).status_code == status
    assert Job.objects.get().state == ("cancelled" if status == 302 else "waiting")


def test_the_api_cancels_a_job_once(packer: User, order: Order) -> None:
    job = Job.objects.create(order=order, kind="plan")
    client = client_of(packer)
    assert client.delete(f"/api/jobs/{job.pk}/").json()["state"] == "cancelled"
    assert_error(client.delete(f"/api/jobs/{job.pk}/"), 409, "conflict", sentence="nothing to cancel")


def test_a_dead_workers_job_is_taken_back_in_one_lease_though_the_clock_was_set_back_an_hour(
    order: Order, settings: Any
) -> None:
    job = Job.objects.create(order=order, kind="plan")
    jobs.claim(job.pk, "anna")
    Job.objects.filter(pk=job.pk).update(lease_until=timezone.now() + timedelta(hours=1))
    jobs.recover()
    lease = timedelta(seconds=settings.JOB_LEASE_SECONDS)
    job.refresh_from_db()
    assert job.state == "running" and present(job.lease_until) <= timezone.now() + lease
    Job.objects.filter(pk=job.pk).update(lease_until=present(job.lease_until) - lease - timedelta(seconds=1))
    jobs.recover()
    assert Job.objects.get().state == "waiting"


def test_a_living_worker_keeps_its_job_though_the_clock_was_set_back_an_hour(order: Order) -> None:
    job = Job.objects.create(order=order, kind="plan")
    claimed = present(jobs.claim(job.pk, "anna"))
    Job.objects.filter(pk=job.pk).update(lease_until=timezone.now() + timedelta(hours=1))
    jobs.recover()
    assert jobs.renew(claimed) and jobs.finish(claimed)


def test_a_busy_database_does_not_end_a_search(monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(_job: Job) -> bool:
        raise OperationalError("database is locked")

    monkeypatch.setattr(turns, "others_wait", busy)
    assert tasks.OthersWait(Job())() is False
