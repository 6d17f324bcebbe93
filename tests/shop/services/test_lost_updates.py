"""What two people do within the same moment: nothing of either is lost, and nothing is done twice.

Each test lets the second act happen between the first one's reading and its storing.
"""

import errno
import sqlite3
import threading
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import OperationalError, connection
from django.test import Client
from django.urls import reverse

from shop import adapter
from shop.admin.orders import OrderAdmin
from shop.forms import CustomerForm, LineForm, OwnUnitsForm
from shop.models import Block, BoxPlan, Customer, Document, Job, Order, OrderLine, Parcel, Piece, Product, Shop, User
from shop.papers import storage
from shop.services import allocation, jobs, passing, planning
from shop.services.errors import CannotPlan, CannotTakeOff, MeasuresRefused
from shop.services.measurements import record
from shop.services.orders import open_order
from shop.services.pieces import retire
from shop.worker import tasks
from tests.shop.planned import close_by_hand, keep, only_plan
from tests.shop.services.test_measurements import read

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ready(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


def test_measures_stored_late_leave_a_piece_with_the_order_that_took_it(
    line: OrderLine, piece: Piece, product: Product
) -> None:
    known = Piece.objects.get(pk=piece.pk)
    allocation.allocate(line.order, [(line, piece)])
    record(known, read(product))
    now = Piece.objects.get(pk=piece.pk)
    assert (now.state, now.weight_g) == ("allocated", Decimal("1360.77711"))


def test_measures_stored_late_leave_a_scrapped_piece_scrapped(piece: Piece, product: Product) -> None:
    known = Piece.objects.get(pk=piece.pk)
    retire(piece, "scrapped", "cracked at the eye")
    record(known, read(product))
    now = Piece.objects.get(pk=piece.pk)
    assert (now.state, now.reason) == ("scrapped", "cracked at the eye")


def test_measures_of_a_piece_whose_box_was_closed_meanwhile_are_refused(
    ready: Order, piece: Piece, product: Product
) -> None:
    known = Piece.objects.get(pk=piece.pk)
    close_by_hand(ready)
    with pytest.raises(MeasuresRefused, match="is packed for order 17"):
        record(known, read(product))
    assert Piece.objects.get(pk=piece.pk).weight_g == piece.weight_g


def test_a_line_is_not_added_to_an_order_packed_meanwhile(ready: Order, forge: Shop, wax: Block) -> None:
    form = LineForm({"what": f"block:{wax.pk}", "quantity": "1"}, shop=forge, may_price=True)
    assert form.is_valid()
    Order.objects.update(state="packed")
    with pytest.raises(CannotTakeOff, match="is packed: its lines stay as they are"):
        form.save(ready)
    assert OrderLine.objects.count() == 1


def test_the_admin_keeps_the_plan_that_was_stored_meanwhile(
    client: Client, owner: User, ready: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = BoxPlan.objects.create(order=ready, content={}, order_content={}, rules={}, input_hash="a" * 64)
    reads = OrderAdmin.get_object

    def then_planned(self: Any, *args: Any) -> Any:
        found = reads(self, *args)
        keep(Order.objects.get(), plan)
        return found

    monkeypatch.setattr(OrderAdmin, "get_object", then_planned)
    client.force_login(owner)
    data = {"customer": ready.customer_id, "number": "18", "notes": "", "placed_at_0": "2026-03-07"}
    inlines = {"lines-TOTAL_FORMS": "0", "lines-INITIAL_FORMS": "0", "placed_at_1": "10:00:00"}
    assert client.post(reverse("admin:shop_order_change", args=[ready.pk]), {**data, **inlines}).status_code == 302
    now = Order.objects.get()
    assert (now.number, only_plan(now), now.state) == (18, plan, "planned")


def test_own_units_stored_late_do_not_let_a_locked_out_person_in_again(packer: User) -> None:
    form = OwnUnitsForm({"length_unit": "in", "weight_unit": ""}, instance=packer)
    User.objects.update(is_active=False)
    assert form.is_valid()
    form.save()
    now = User.objects.get()
    assert (now.length_unit, now.is_active) == ("in", False)


def test_a_customers_new_telephone_leaves_the_address_that_someone_else_changed(customer: Customer) -> None:
    fields = {name: getattr(customer, name) for name in ("name", "country", "address", "length_unit", "weight_unit")}
    form = CustomerForm({**fields, "phone": "123"}, instance=customer, shop=customer.shop)
    assert form.is_valid()
    Customer.objects.update(email="a@example.org", length_unit="in")
    form.instance.email = "a@example.org"
    form.save()
    assert Customer.objects.get().phone == "123"


def test_a_plan_its_papers_and_its_jobs_end_are_stored_together_or_not_at_all(
    ready: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = planning.request_plan(ready)
    monkeypatch.setattr(jobs, "finish", lambda job, progress=None: False)  # the lease went to another worker
    tasks.run_job(job.pk)
    assert not BoxPlan.objects.exists() and not Parcel.objects.exists()
    assert list(Job.objects.values_list("kind", flat=True)) == ["plan"]


def test_a_job_is_done_at_the_moment_its_plan_is_stored(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    job = planning.request_plan(ready)
    monkeypatch.setattr(
        jobs._Progress, "flush", lambda self: pytest.fail("killed") if BoxPlan.objects.count() else None
    )
    with pytest.raises(pytest.fail.Exception):
        tasks.run_job(job.pk)
    job.refresh_from_db()
    assert (job.state, BoxPlan.objects.count(), Parcel.objects.count()) == ("done", 1, 1)


def test_a_box_that_a_person_took_meanwhile_is_not_replaced(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    job = planning.request_plan(ready)
    search = adapter.plan_with_offers
    taken = BoxPlan.objects.create(order=ready, content={}, order_content={}, rules={}, input_hash="b" * 64)

    def slow(*args: Any, **options: Any) -> Any:
        found = search(*args, **options)
        keep(Order.objects.get(), taken)
        return found

    monkeypatch.setattr(adapter, "plan_with_offers", slow)
    with pytest.raises(CannotPlan, match="has been planned again meanwhile"):
        planning.plan_now(Order.objects.get(), 1)
    assert only_plan(Order.objects.get()) == taken
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "failed" and "has been given another box since" in job.error


def test_eight_clicks_on_plan_are_one_job_also_once_it_runs(ready: Order) -> None:
    first = planning.request_plan(ready)
    assert {planning.request_plan(ready).pk for _click in range(4)} == {first.pk}
    assert jobs.claim(first.pk, "anna") is not None
    assert {planning.request_plan(ready).pk for _click in range(4)} == {first.pk}


def test_a_full_disk_leaves_no_row_of_a_paper_that_is_not_there(
    ready: Order, monkeypatch: pytest.MonkeyPatch, settings: Any, tmp_path: Path
) -> None:
    settings.PAPERS_DIR = tmp_path
    plan = only_plan(planning.plan_now(ready, 1))

    def full(path: Any, data: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(storage, "write_whole", full)
    with pytest.raises(OSError, match="No space left"):
        storage.render_all(plan, kinds=["slip"])
    assert not Document.objects.exists()
    monkeypatch.undo()
    settings.PAPERS_DIR = tmp_path
    assert storage.render_all(plan, kinds=["slip"])[0].path.exists()


def of_sqlite(code: Any) -> Any:
    """An error of the database as Django hands it on from SQLite, whose own error has a code."""
    cause, error = sqlite3.OperationalError("in whatever words"), OperationalError("in whatever words")
    cause.sqlite_errorcode = code
    error.__cause__ = cause
    return error


def locked() -> Any:
    return of_sqlite(sqlite3.SQLITE_BUSY)


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (of_sqlite(sqlite3.SQLITE_FULL), "The disk is full"),
        (of_sqlite(sqlite3.SQLITE_IOERR_WRITE), "The disk is full"),
        (of_sqlite(sqlite3.SQLITE_READONLY_DBMOVED), "The disk is full"),
        (of_sqlite(sqlite3.SQLITE_BUSY_SNAPSHOT), "The database is busy"),
        (locked(), "The database is busy"),
        (OSError(errno.ENOSPC, "No space left on device"), "The disk is full"),
    ],
)
def test_what_passes_is_told_as_such_and_may_be_tried_again(
    client: Client, owner: User, ready: Order, monkeypatch: pytest.MonkeyPatch, error: Any, said: Any
) -> None:
    def broken(*args: Any, **options: Any) -> None:
        raise error

    monkeypatch.setattr(planning, "request_plan", broken)
    client.force_login(owner)
    page = client.post(reverse("plan-box", args=[17]))
    assert (page.status_code, page.headers["Retry-After"]) == (503, "5")
    assert said in page.content.decode()
    answer = client.post(reverse("api-plan", args=[17]), "{}", content_type="application/json")
    assert answer.status_code == 503 and answer.json()["error"]["code"] == "busy"


def test_an_act_thrown_back_by_a_clash_is_done_again_outside_a_transaction(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(passing, "connection", SimpleNamespace(in_atomic_block=False))
    tries = []

    @passing.again_after_a_clash
    def act() -> Any:
        tries.append(1)
        if len(tries) < 3:
            raise locked()
        return "done"

    assert act() == "done" and len(tries) == 3


threads_on_servers = pytest.mark.skipif(
    connection.vendor == "sqlite",
    reason="the tests' SQLite lies in memory, where threads lock each other's tables; tried on PostgreSQL",
)


def at_once(count: Any, act: Any) -> Any:
    """Do an act in so many threads that start together; return what each returned or raised."""
    start = threading.Barrier(count)
    results: list[Any] = [None] * count

    def run(place: Any) -> None:
        start.wait()
        try:
            results[place] = act(place)
        except Exception as error:
            results[place] = error
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(place,)) for place in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


@threads_on_servers
@pytest.mark.django_db(transaction=True)
def test_ten_orders_opened_at_once_get_ten_numbers(customer: Customer) -> None:
    made = at_once(10, lambda place: open_order(customer).number)
    assert sorted(made) == list(range(1, 11))


@threads_on_servers
@pytest.mark.django_db(transaction=True)
def test_a_new_customer_sent_ten_times_at_once_is_one(forge: Shop, owner: User) -> None:
    data = {"name": "B. Mason", "country": "SE", "address": "2 Lime Street", "length_unit": "mm", "weight_unit": "g"}
    clients = [Client() for _ in range(10)]
    for client in clients:
        client.force_login(owner)
    answers = at_once(10, lambda place: clients[place].post(reverse("new-customer"), data).status_code)
    assert sorted(answers) == [302] + [400] * 9
    assert Customer.objects.count() == 1


@threads_on_servers
@pytest.mark.django_db(transaction=True)
def test_eight_who_ask_for_a_plan_at_once_ask_for_one(ready: Order) -> None:
    made = at_once(8, lambda place: planning.request_plan(Order.objects.get()).pk)
    assert len(set(made)) == Job.objects.count() == 1
