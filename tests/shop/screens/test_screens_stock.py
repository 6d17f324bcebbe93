"""Taking an order's parts from stock on its page, and who may."""

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from shop import adapter
from shop.models import Shop, StockTaking
from shop.models.sheets import SheetRow
from shop.papers import render_all
from tests.shop.planned import only_plan

SIZES = {"length_mm": Decimal(1200), "width_mm": Decimal(600), "count": 5}


@pytest.fixture
def printed(planned: Any, settings: Any, tmp_path: Any) -> Any:
    """A planned order with papers and with foam of every thickness in stock."""
    settings.PAPERS_DIR = tmp_path / "papers"
    plan = adapter.plan_of(only_plan(planned))
    thicknesses = {sheet.thickness_um for sheet in plan.insert.sheets}
    thicknesses |= {one for loose in plan.insert.loose for one in loose.thicknesses_um}
    for um in thicknesses:
        thick = Decimal(um) / 1000
        values = {"nominal_mm": thick, "thickness_mm": thick, **SIZES}
        SheetRow.objects.create(shop=planned.shop, material=plan.insert.material, **values)
    render_all(only_plan(planned))
    return planned


def take(client: Client, order: Any) -> Any:
    return client.post("/orders/17/parcels/1/stock/take/", {"plan": only_plan(order).pk}, follow=True)


def test_stock_is_taken_and_given_back_on_the_order_page(at_the_bench: Client, printed: Any) -> None:
    assert "Take from stock" in at_the_bench.get("/orders/17/").content.decode()
    page = take(at_the_bench, printed).content.decode()
    assert "Taken from stock. Write on each offcut" in page
    assert "kept:" in page and "17-1" in page and "Give it back to stock" in page
    page = at_the_bench.post("/orders/17/parcels/1/stock/give-back/", follow=True).content.decode()
    assert "Given back: the stock is as it was." in page and "Take from stock" in page


def test_pressing_twice_takes_once(at_the_bench: Client, printed: Any) -> None:
    take(at_the_bench, printed)
    left = list(SheetRow.objects.values_list("pk", "count"))
    assert "has taken its stock already" in take(at_the_bench, printed).content.decode()
    assert list(SheetRow.objects.values_list("pk", "count")) == left
    assert StockTaking.objects.count() == 1


def test_papers_stay_right_when_stock_is_taken(at_the_bench: Client, printed: Any) -> None:
    take(at_the_bench, printed)
    assert "stale" not in at_the_bench.get("/orders/17/").content.decode()


def test_a_shop_without_sheets_is_not_asked(at_the_bench: Client, planned: Any) -> None:
    assert "Take from stock" not in at_the_bench.get("/orders/17/").content.decode()


@pytest.mark.parametrize(("who", "status"), [("owner", 302), ("packer", 302), ("bookkeeper", 403), ("stranger", 404)])
@pytest.mark.parametrize("act", ["take", "give-back"])
def test_who_may_take_and_give_back(log_in: Any, printed: Any, who: str, status: int, act: str) -> None:
    answer = log_in(who).post(f"/orders/17/parcels/1/stock/{act}/", {"plan": only_plan(printed).pk})
    assert answer.status_code == status


def test_the_settings_show_the_sheets(client: Client, owner: Any, forge: Shop) -> None:
    values = {"nominal_mm": Decimal(25), "thickness_mm": Decimal("25.4"), **SIZES}
    SheetRow.objects.create(shop=forge, material="PE foam", **values)
    client.force_login(owner)
    page = client.get("/settings/").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "1 row of sheets and offcuts" in page and "25.4 mm" in page
