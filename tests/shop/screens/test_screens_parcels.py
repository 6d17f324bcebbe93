"""An order of two parcels on its screens: both side by side, and each with its own box, papers and packing."""

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from shop.models import Job, Order, OrderLine, Product, Shop
from shop.services import allocation, dispatch, planning
from tests.shop.conftest import make_piece


@pytest.fixture
def heavy(line: OrderLine, product: Product, forge: Shop) -> Any:
    """Two hammers of 1440 g, of which the shop sends at most 2.2 kg in a parcel; planned."""
    OrderLine.objects.filter(pk=line.pk).update(quantity=2)
    line.refresh_from_db()
    allocation.allocate(line.order, [(line, make_piece(product, number)) for number in (7, 8)])
    forge.plan_rules["max_gross_g"] = 2200
    forge.save()
    planning.plan_now(Order.objects.get(), 0.2)
    return Order.objects.get()


def test_both_parcels_stand_side_by_side_and_each_has_its_own_screen(at_the_bench: Client, heavy: Any) -> None:
    page = at_the_bench.get("/orders/17/").content.decode()
    assert "2 parcels" in page and "/orders/17/parcels/2/#box" in page
    assert "Each parcel has a box of its own" in page
    assert "Each parcel has papers of its own" in page and "Each parcel is packed, weighed and sent by itself" in page
    assert "Make the papers of all parcels" in page
    at_the_bench.post("/orders/17/papers/")
    assert Job.objects.get(kind="papers").payload["plans"] == list(heavy.plan_keys)
    second = at_the_bench.get("/orders/17/parcels/2/").content.decode()
    assert "parcel 2 of 2" in second and "/orders/17/parcels/2/pack/" in second
    assert "says order 17, parcel 2 of 2, A. Carpenter" in second
    assert at_the_bench.get("/").status_code == 200


def test_a_parcel_goes_its_own_way_and_the_other_waits(at_the_bench: Client, heavy: Any) -> None:
    first, second = heavy.parcels.all()
    dispatch.pack(second)
    assert "weigh the closed box" in at_the_bench.get("/orders/17/").content.decode().lower()
    gross = Decimal(str(second.plan.content["weight"]["gross_g"]))
    dispatch.weigh_in(second, gross)
    page = at_the_bench.get("/orders/17/parcels/2/send/").content.decode()
    assert "Has parcel 2 of 2 of order 17 left?" in page
    assert next(iter(second.plan.item_sources)) in page and next(iter(first.plan.item_sources)) not in page
    answer = at_the_bench.post("/orders/17/parcels/2/send/", follow=True).content.decode()
    assert "Parcel 2 of order 17 is sent." in answer
    assert Order.objects.get().state == "packing"
    shown = at_the_bench.get("/api/orders/17/").json()["parcels"]
    assert [(one["number"], one["of"], one["state"]) for one in shown] == [(1, 2, "planned"), (2, 2, "sent")]
    assert at_the_bench.get("/api/orders/17/plan/").status_code == 409
    assert at_the_bench.get("/api/orders/17/parcels/2/plan/").json()["parcel"] == 2


def test_a_parcel_that_is_not_there_is_told_on_the_orders_page(at_the_bench: Client, heavy: Any) -> None:
    page = at_the_bench.post("/orders/17/parcels/3/unpack/", follow=True).content.decode()
    assert "Order 17 has no parcel 3: it has been planned again." in page


def test_what_is_refused_of_a_parcel_is_told_on_its_own_page(at_the_bench: Client, heavy: Any) -> None:
    answer = at_the_bench.post("/orders/17/parcels/2/unpack/")
    assert answer["Location"].startswith("/orders/17/parcels/2/")
