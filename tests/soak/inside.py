"""What the soak runs inside an installation: orders to plan, what became of them, and thirty clients at once.

Usage: python -m tests.soak.inside fill COUNT | again | state | clients. Prints JSON.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
import random
import sys
import threading
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import django

if TYPE_CHECKING:
    from shop.models import Document, Order

CLIENTS, PIECES, ROUNDS = 30, 20, 3
MM = {"head_length": 105, "head_height": 42, "head_width": 42, "handle_length": 250, "handle_width": 33}
MM |= {"handle_thickness": 23}


def fill(count: int) -> dict[str, int]:
    """A shop with orders of two hammers and a tin each, their pieces taken from the rack, a plan of each asked for."""
    from shop import adapter
    from shop.models import Block, Customer, Order, OrderLine
    from shop.services import allocation, planning

    product = _product()
    for kind, rows in adapter.stock_to_start_with().items():
        for row in rows:
            kind._default_manager.create(shop=product.shop, **row)
    customer = Customer.objects.create(shop=product.shop, name="A. Carpenter", address="1 Plane Street", country="SE")
    tin = Block.objects.create(shop=product.shop, name="wax", length=70, width=70, height=30, weight_g=120)
    for place in range(count):
        order = Order.objects.create(customer=customer, number=place + 1)
        line = OrderLine.objects.create(order=order, product=product, quantity=2)
        OrderLine.objects.create(order=order, block=tin)
        pieces = [_piece(product, 2 * place + 1 + one, head_height=Decimal(42 + place % 7)) for one in (0, 1)]
        allocation.allocate(order, [(line, piece) for piece in pieces])
        planning.request_plan(order, 1)
    return {"orders": count}


def again() -> dict[str, int]:
    """Ask again for what was given up after three attempts, as a person would."""
    from shop.models import DocumentKind, Job, JobKind, JobState, Order
    from shop.services import planning

    failed = list(Job.objects.filter(state=JobState.FAILED).order_by("pk"))
    for job in failed:
        order = Order.objects.get(pk=job.order_id)
        if job.kind == JobKind.PLAN and order.consignment_id is None:
            planning.request_plan(order, 1)
        elif job.kind == JobKind.PAPERS and len(papers_of(order)) < len(DocumentKind.values):
            planning.request_papers(order)
    return {"given up": len(failed)}


def papers_of(order: Order) -> list[Document]:
    """The papers of the plans of the order's parcels."""
    return [paper for parcel in order.parcels.select_related("plan") for paper in parcel.plan.documents.all()]


def state() -> dict[str, int]:
    """What became of the orders: jobs still open, orders lost, doubled, and without their papers."""
    from shop.models import Consignment, Document, DocumentKind, Job, JobState, Order

    orders = list(Order.objects.all())
    answers = Counter(Consignment.objects.values_list("order", flat=True))
    given_up = Job.objects.filter(state=JobState.FAILED).count()
    waiting = Job.objects.filter(state__in=[JobState.WAITING, JobState.RUNNING])
    still = set(waiting.values_list("order", flat=True))
    papers: Counter[int | None] = Counter(paper.plan_id for paper in Document.objects.all() if _is_whole(paper))
    return {
        "open": waiting.count(),
        "lost": sum(order.consignment_id is None and order.pk not in still for order in orders),
        "doubled": sum(answers[order.pk] > 1 or order.plans.count() > len(order.plan_keys) for order in orders),
        "without papers": sum(
            not order.plan_keys or min(papers[plan] for plan in order.plan_keys) < len(DocumentKind.values)
            for order in orders
        ),
        "given up": given_up,
        "attempts beyond one": sum(max(0, job.attempts - 1) for job in Job.objects.all()),
    }


def clients() -> dict[str, int]:
    """Thirty clients at once, in rounds: the same pieces, the same new numbers, new orders, one new customer."""
    from django.test import Client
    from django.urls import reverse

    from shop.models import Allocation, Customer, Membership, Order, OrderLine, Piece, User

    product = _product()
    person = User.objects.create_user(username="soak", password=None)
    Membership.objects.create(shop=product.shop, user=person, role="owner")
    customer = Customer.objects.create(shop=product.shop, name="B. Mason", country="SE")
    browsers = [Client(raise_request_exception=False, SERVER_NAME="127.0.0.1") for _ in range(CLIENTS)]
    for browser in browsers:
        browser.force_login(person)
    statuses: Counter[int] = Counter()
    asked = 0
    for turn in range(ROUNDS):
        numbers = [turn * 1000 + one for one in range(1, PIECES + 1)]
        for number in numbers:
            _piece(product, number)
        orders = [Order.objects.create(customer=customer, number=turn * 1000 + one) for one in range(1, CLIENTS + 1)]
        lines = [OrderLine.objects.create(order=order, product=product) for order in orders]

        def act(place: int, turn: int = turn, lines: Any = lines, numbers: Any = numbers) -> list[int]:
            browser, line, chance = browsers[place], lines[place], random.Random(place + 100 * turn)
            answers = []
            for number in chance.sample(numbers, 5):
                field = f"place-{line.pk}-{product.pk}-1"
                answers.append(browser.post(reverse("take-from-rack", args=[line.order.number]), {field: number}))
            body = {**MM, "product": product.code, "number": turn * 1000 + 500 + place % 10, "weight_g": 1440}
            answers.append(browser.post("/api/pieces/", json.dumps(body), content_type="application/json"))
            units = {"length_unit": "mm", "weight_unit": "g"}
            new = {"name": f"New {turn}", "country": "SE", "address": "3 Oak Road", **units}
            answers.append(browser.post(reverse("new-customer"), new))
            none = {"lines-TOTAL_FORMS": "0", "lines-INITIAL_FORMS": "0"}
            answers.append(browser.post(reverse("new-order"), {"customer": customer.pk, **none}))
            return [answer.status_code for answer in answers]

        for found in _at_once(CLIENTS, act):
            statuses.update(found)
            asked += len(found)
    new_numbers = [turn * 1000 + 500 + one for turn in range(ROUNDS) for one in range(10)]
    held = Counter(Allocation.objects.live().values_list("piece", flat=True))
    stamped = Counter(Piece.objects.values_list("product", "number"))
    numbered = Counter(Order.objects.values_list("shop", "number"))
    named = Counter(Customer.objects.filter(name__startswith="New").values_list("name", flat=True))
    return {
        "requests": asked,
        "pieces held": len(held),
        "numbers given": Piece.objects.filter(number__in=new_numbers).count(),
        "orders opened": Order.objects.count() - ROUNDS * CLIENTS,
        "doubled": sum(max(0, count - 1) for row in (held, stamped, numbered, named) for count in row.values()),
        "status 500": sum(count for status, count in statuses.items() if status == 500),
        "status 503": statuses[503],
    }


def _product() -> Any:
    from shop.models import Lot, Pattern, Product, Series, Shop

    forge = Shop.objects.create(name="Soak forge")
    lot = Lot.objects.create(shop=forge, name="Bar 7", received_kg=Decimal(80), left_kg=Decimal(31))
    series = Series.objects.create(lot=lot, name="First heat")
    pattern = Pattern.objects.create(shop=forge, name="Cross peen", form="hammer", sharp="none")
    head = Decimal(1250)
    return Product.objects.create(series=series, pattern=pattern, code="CH125", name="Hammer", head_weight_g=head)


def _piece(product: Any, number: int, **values: Any) -> Any:
    from shop.models import Piece

    measures = {name: Decimal(value) for name, value in MM.items()} | {"weight_g": Decimal(1440)}
    when = dt.datetime(2026, 3, 7, tzinfo=dt.UTC)
    return Piece.objects.create(product=product, number=number, measured_at=when, **{**measures, **values})


def _is_whole(paper: Document) -> bool:
    return paper.path.is_file() and bool(hashlib.sha256(paper.path.read_bytes()).hexdigest() == paper.sha256)


def _at_once(count: int, act: Callable[[int], list[int]]) -> list[list[int]]:
    from django.db import connection

    start, results = threading.Barrier(count), [list[int]() for _ in range(count)]

    def run(place: int) -> None:
        try:
            start.wait()
            results[place] = act(place)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[place]) for place in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def main(arguments: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.config.settings")
    django.setup()
    acts: dict[str, Callable[..., dict[str, int]]] = {"fill": fill, "again": again, "state": state, "clients": clients}
    print(json.dumps(acts[arguments[0]](*map(int, arguments[1:]))))


if __name__ == "__main__":
    main(sys.argv[1:])
