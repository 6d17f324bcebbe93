"""Every screen, looked at in Chromium: WCAG rules (axe), text of 16 px, targets of 44 px, no scrolling sideways."""

from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop import adapter
from shop.access.first_owner import first_owner_link
from shop.models import Customer, Order, OrderLine, Piece, Product, RateRule, Reading, Shop
from shop.services import dispatch, pieces
from tests.helpers import present
from tests.shop.conftest import make_piece
from tests.shop.planned import act
from tests.shop.screens.browser import CHROMIUM, look_at, top_of

PHONE = 844
"""Height of a screen that is 390 px wide, in px (a common telephone, from memory)."""
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="No Chromium here: the screens were not looked at.")


@pytest.fixture
def filled(planned: Any, paper: Any, forge: Shop, product: Product, customer: Customer) -> Any:
    """A shop with something on every screen: a planned order, an open one, a reading, a gap, carriers' rules."""
    from shop.models import Order

    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
    for kind, rows in adapter.stock_to_start_with().items():
        kind._default_manager.bulk_create(kind(shop=forge, **row) for row in rows)
    OrderLine.objects.create(order=Order.objects.create(customer=customer, number=18), product=product, quantity=2)
    made = make_piece(product, 9)
    Reading.objects.create(piece=made, place="face", value="54.5")
    return made


ADDRESSES = (
    "/",
    "/orders/17/",
    "/orders/18/",
    "/orders/new/",
    "/customers/",
    "/customers/new/",
    "/rack/",
    "/rack/{piece}/",
    "/rack/{piece}/measure/",
    "/amounts/",
    "/steel/",
    "/records/products/",
    "/records/boards/",
    "/records/products/new/",
    "/records/sets/new/",
    "/records/patterns/new/",
    "/settings/",
    "/settings/trail/",
    "/own-units/",
    "/own-password/",
    "/nowhere/",
)


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_screen_is_for_everyone(at_the_bench: Client, filled: Any, tmp_path: Path, address: Any) -> None:
    answer = at_the_bench.get(address.format(piece=filled.pk))
    for found in look_at(answer.content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_the_log_in_is_for_everyone(client: Client, db: Any, tmp_path: Path) -> None:
    for found in look_at(client.get(reverse("login")).content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_a_refused_measuring_is_for_everyone(at_the_bench: Client, piece: Piece, tmp_path: Path) -> None:
    refused = at_the_bench.post(reverse("measure", args=[piece.pk]), {"weight_g": "heavy"})
    for found in look_at(refused.content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_a_customer_refused_is_for_everyone(
    at_the_bench: Client, packed: Order, customer: Customer, tmp_path: Path
) -> None:
    packed.parcels.update(weighed_g=2000)
    act(dispatch.send, packed)
    refused = at_the_bench.post(reverse("customer", args=[customer.pk]), {"country": "XX"})
    for found in look_at(refused.content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_the_question_before_sending_is_for_everyone(at_the_bench: Client, packed: Order, tmp_path: Path) -> None:
    packed.parcels.update(weighed_g=2000)
    for found in look_at(at_the_bench.get(reverse("send-parcel", args=[17, 1])).content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_a_piece_in_for_repair_is_for_everyone(
    at_the_bench: Client, packed: Order, piece: Piece, tmp_path: Path
) -> None:
    packed.parcels.update(weighed_g=2000)
    act(dispatch.send, packed)
    piece.refresh_from_db()
    pieces.take_in_for_repair(piece, "handle cracked")
    for found in look_at(at_the_bench.get(reverse("piece", args=[piece.pk])).content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_a_refused_packing_is_for_everyone(at_the_bench: Client, planned: Any, tmp_path: Path) -> None:
    refused = at_the_bench.post(reverse("pack", args=[17, 1]), {})
    for found in look_at(refused.content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_packing_begins_on_the_first_screen_of_a_phone(
    at_the_bench: Client, planned: Any, paper: Any, tmp_path: Path
) -> None:
    page = at_the_bench.get(reverse("order", args=[17])).content.decode()
    assert present(top_of(page, tmp_path, "#sending", width=390)) < PHONE
    assert present(top_of(page, tmp_path, ".packing .pocket svg", width=390)) < 2 * PHONE


def test_an_order_that_waits_for_something_else_does_not_begin_with_packing(
    at_the_bench: Client, planned: Any, tmp_path: Path
) -> None:
    page = at_the_bench.get(reverse("order", args=[17])).content.decode()
    assert present(top_of(page, tmp_path, "#sending", width=390)) > 2 * PHONE


def test_the_first_owners_page_is_for_everyone(client: Client, db: Any, tmp_path: Path) -> None:
    page = client.get(reverse("first-owner", args=[first_owner_link()])).content.decode()
    for found in look_at(page, tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_the_browser_finds_what_is_wrong(client: Client, db: Any, tmp_path: Path) -> None:
    page = client.get(reverse("login")).content.decode()
    spoilt = page.replace(
        "<h1>", '<img src="x"><p style="font-size:9px;color:#bbb">small</p><h1 style="min-width:2000px">'
    )
    found = look_at(spoilt, tmp_path, widths=(768,))[0]
    assert found["texts"] == ["small"]
    assert found["overflow"] > 1000
    assert any(rule.startswith("image-alt") for rule in found["broken"])
    assert any(rule.startswith("color-contrast") for rule in found["broken"])


def test_the_first_steps_of_an_empty_shop_are_for_everyone(at_the_bench: Client, forge: Shop, tmp_path: Path) -> None:
    for found in look_at(at_the_bench.get("/").content.decode(), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}
