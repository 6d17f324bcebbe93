"""The page of orders that are cut together: chosen, looked at, taken once, given back once."""

import io
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from django.test import Client

from shop.models import CutTogether, Order, SheetRow, StockTaking
from shop.services import cut_together, stock
from tests.shop.screens.browser import CHROMIUM, look_at
from tests.shop.services.test_cut_together import parcels, plans, two

__all__ = ["two"]


def words_in(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as pages:
        return "\n".join(page.extract_text() for page in pages.pages).replace(" ", "")


def test_orders_are_chosen_laid_taken_and_given_back(at_the_bench: Client, two: list[Order]) -> None:
    page = at_the_bench.get("/cutting/").content.decode()
    assert 'value="17" checked' in page and 'value="18" checked' in page
    page = at_the_bench.get("/cutting/", {"order": ["17", "18"]}).content.decode()
    assert "cut into" in page and "<svg" in page and "17 S1" in page and "18 S1" in page
    keys = [plan.pk for plan in plans(two)]
    page = at_the_bench.post("/cutting/take/", {"plan": keys}, follow=True).content.decode()
    assert "Taken from stock" in page and "Cut together: orders 17, 18" in page
    again = at_the_bench.post("/cutting/take/", {"plan": keys}, follow=True).content.decode()
    assert "Order 17 has taken its stock already" in again
    order = at_the_bench.get("/orders/18/").content.decode()
    assert "Cut together with orders 17, 18" in order
    back = f"/cutting/{CutTogether.objects.get().pk}/give-back/"
    page = at_the_bench.post(back, follow=True).content.decode()
    assert "Given back: the stock is as it was" in page
    assert not StockTaking.objects.filter(given_back_at__isnull=True).exists()
    assert "given back already" in at_the_bench.post(back, follow=True).content.decode()


def test_one_group_is_given_back_and_the_other_stays(at_the_bench: Client, two: list[Order]) -> None:
    first = cut_together.take_together(parcels(two), plans(two))
    stock.give_back_group(first)
    second = cut_together.take_together(parcels(two), plans(two))
    page = at_the_bench.post(f"/cutting/{first.pk}/give-back/", follow=True).content.decode()
    assert "given back already" in page
    assert second.takings.filter(given_back_at__isnull=True).count() == 2


def test_one_parcel_alone_is_not_cut_together(at_the_bench: Client, two: list[Order]) -> None:
    page = at_the_bench.post("/cutting/take/", {"plan": [plans(two)[0].pk]}, follow=True).content.decode()
    assert "Choose two parcels or more" in page
    assert not StockTaking.objects.exists()


def test_what_is_laid_is_printed_with_cautions_and_offcuts_get_labels(at_the_bench: Client, two: list[Order]) -> None:
    told = words_in(at_the_bench.get("/cutting/paper/", {"order": ["17", "18"]}).content)
    assert "17,18" in told and "17S1" in told and "Localcodes" in told
    at_the_bench.post("/cutting/take/", {"plan": [plan.pk for plan in plans(two)]})
    labels = words_in(at_the_bench.get("/cutting/labels/").content)
    kept = SheetRow.objects.filter(offcut=True, count__gt=0)
    assert kept and all(row.label in labels for row in kept)
    assert "PEfoam,25mm" in labels
    one = words_in(at_the_bench.get("/cutting/labels/", {"sheet": kept[0].pk}).content)
    assert kept[0].label in one and not any(row.label in one for row in kept[1:])


def test_without_an_offcut_or_an_order_it_is_said(at_the_bench: Client, two: list[Order]) -> None:
    assert "There is no offcut to label" in at_the_bench.get("/cutting/labels/", follow=True).content.decode()
    nothing = at_the_bench.get("/cutting/paper/", follow=True).content.decode()
    assert "Name at least one order" in nothing


@pytest.mark.parametrize(
    ("who", "status"),
    [
        ("packer", 200),
        ("bookkeeper", 403),
    ],
)
def test_who_may_cut_orders_together(log_in: Any, two: list[Order], who: str, status: int) -> None:
    group = cut_together.take_together(parcels(two), plans(two))
    client = log_in(who)
    assert client.get("/cutting/").status_code == status
    refused = client.post("/cutting/take/", {"plan": [plan.pk for plan in plans(two)]})
    assert refused.status_code == (302 if status == 200 else status)
    assert client.post(f"/cutting/{group.pk}/give-back/").status_code == (302 if status == 200 else status)


def test_a_stranger_sees_nothing_of_them(log_in: Any, two: list[Order]) -> None:
    client = log_in("stranger")
    assert "order-17" not in client.get("/cutting/").content.decode()
    assert client.post("/cutting/take/", {"plan": [plan.pk for plan in plans(two)]}).status_code == 404
    assert not StockTaking.objects.exists()
    group = cut_together.take_together(parcels(two), plans(two))
    assert client.post(f"/cutting/{group.pk}/give-back/").status_code == 404
    assert StockTaking.objects.filter(given_back_at__isnull=True).count() == 2


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
def test_the_page_is_for_everyone(at_the_bench: Client, two: list[Order], tmp_path: Path) -> None:
    page = at_the_bench.get("/cutting/", {"order": ["17", "18"]}).content.decode()
    for found in look_at(page, tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}
