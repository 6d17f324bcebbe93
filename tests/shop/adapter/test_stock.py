"""Rows of boards, wood, hardware, times and allowances: what a shop starts with, and what its boxes are made of."""

from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from packing.materials import ALLOWANCES, BOARDS, LABOUR_TIMES, Joinery
from shop import adapter
from shop.adapter.stock import allowances_of, boards_of, joinery_of, sheet_prices, work_of
from shop.models import (
    AllowanceRow,
    BoardRow,
    BoxPlan,
    FastenerRow,
    Order,
    OrderLine,
    Piece,
    SheetRow,
    Shop,
    User,
    WoodRow,
)
from shop.services import allocation, jobs, planning
from shop.services.shops import open_shop
from shop.worker import tasks
from tests.helpers import present
from tests.shop.planned import only_plan

WEAK = {"burst_psi": 0, "facings_lb": 0, "ect_lb_in": 1}


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ready(line: OrderLine, piece: Piece, stocked: Shop) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return Order.objects.get()


def test_a_new_shop_starts_with_usual_stock_that_reads_back_as_it_was(db: Any) -> None:
    shop = open_shop("New forge")
    assert tuple(boards_of(shop).values()) == BOARDS
    assert joinery_of(shop) == Joinery()
    assert set(work_of(shop)) == set(LABOUR_TIMES)
    assert set(allowances_of(shop)) == set(ALLOWANCES)


def test_a_shop_without_rows_reckons_with_the_usual_stock(forge: Shop) -> None:
    assert tuple(boards_of(forge).values()) == BOARDS
    assert joinery_of(forge) == Joinery()
    assert (work_of(forge), allowances_of(forge)) == (LABOUR_TIMES, ALLOWANCES)


def test_the_rows_of_another_shop_are_not_ours(stocked: Shop, other_forge: Any) -> None:
    BoardRow.objects.create(
        shop=other_forge, name="theirs", flute="B", grade="?", caliper_mm=Decimal(3), grammage_g_m2=Decimal(400)
    )
    assert "theirs" not in boards_of(stocked)
    assert list(boards_of(other_forge)) == ["theirs"]


def test_a_measured_board_makes_the_box(ready: Order) -> None:
    BoardRow.objects.exclude(name="42-26C-42 single wall").update(in_stock=False)
    BoardRow.objects.filter(in_stock=True).update(caliper_mm=Decimal("4.3"), price_m2=Decimal("1.6"))
    plan = only_plan(planning.plan_now(ready, 0.2))
    assert plan.content["box"]["board"]["caliper_mm"] == 4.3
    lines = plan.content["box"]["cost"]["lines"]
    assert lines[0]["price"] == "1.6"


def test_what_folding_takes_goes_by_the_shops_own_row(ready: Order) -> None:
    BoardRow.objects.exclude(name="42-26C-42 single wall").update(in_stock=False)
    before = only_plan(planning.plan_now(ready, 0.2)).content["box"]["blank"]["size_mm"]
    AllowanceRow.objects.filter(flute="C").update(panel_mm=Decimal(6))
    after = only_plan(planning.plan_now(ready, 0.2)).content["box"]["blank"]["size_mm"]
    assert after[0] - before[0] > 0


def test_a_cost_is_whole_once_every_price_is_known(ready: Order) -> None:
    BoardRow.objects.update(price_m2=Decimal("1.6"))
    Shop.objects.update(hour_price=Decimal(30), fastener_price=Decimal("0.04"), foam_price_m3=Decimal(290))
    WoodRow.objects.update(price=Decimal(5))
    planning.plan_now(Order.objects.get(), 0.2)
    for offer in BoxPlan.objects.get().choices:
        box = adapter.plan_of(offer).box
        if box.family is not adapter.kinds.ContainerKind.CARTON:
            cost = present(box.cost)
            assert (cost.missing, cost.currency) == ((), "EUR")


def test_a_box_of_wood_takes_the_place_of_boards_too_weak_in_every_grade_and_says_why(ready: Order) -> None:
    BoardRow.objects.update(**WEAK)
    offered = only_plan(planning.plan_now(ready, 0.2))
    assert offered.content["box"]["family"] == "wood"
    assert any("No board in stock passes every rule" in note for note in map(str, adapter.plan_of(offered).box.notes))


def test_where_nothing_can_be_made_the_job_says_so_and_keeps_no_plan(ready: Order) -> None:
    BoardRow.objects.update(**WEAK)
    WoodRow.objects.update(length_mm=Decimal(100), width_mm=Decimal(50))
    job = planning.request_plan(ready)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "failed"
    assert "No board in stock passes every rule" in job.error
    assert (Order.objects.get().state, BoxPlan.objects.count()) == ("draft", 0)


@pytest.mark.parametrize(("kind", "sentence"), [(BoardRow, "boards: must have"), (FastenerRow, "screws: must have")])
def test_a_kind_of_which_nothing_is_in_stock_is_said_by_name(ready: Order, kind: Any, sentence: Any) -> None:
    kind.objects.update(in_stock=False)
    with pytest.raises(adapter.BadInput, match=sentence):
        planning.plan_now(ready, 0.2)
    assert not BoxPlan.objects.exists()


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"caliper_mm": "0"}, "Must be at least 0.001"),
        ({"cut_by": "teeth"}, "one or more of knife, laser, saw"),
        ({"sheet_across_mm": "1000"}, "A sheet has two sides"),
        ({"price_m2": "-1"}, "Must be at least 0"),
    ],
)
def test_a_bad_board_is_refused_in_a_sentence(stocked: Shop, changes: Any, sentence: Any) -> None:
    board = present(BoardRow.objects.first())
    for name, value in changes.items():
        setattr(board, name, Decimal(value) if name != "cut_by" else value)
    with pytest.raises(ValidationError, match=sentence):
        board.full_clean()


def test_wood_sold_by_the_board_foot_has_a_nominal_size(stocked: Shop) -> None:
    panel = present(WoodRow.objects.filter(processed=True).first())
    panel.per = "board foot"
    with pytest.raises(ValidationError, match="Board feet go by nominal size"):
        panel.full_clean()


def test_the_settings_list_the_stock_and_lead_to_where_it_is_changed(
    client: Client, owner: User, stocked: Shop
) -> None:
    client.force_login(owner)
    page = client.get(reverse("settings")).content.decode()
    assert "42-26C-42 single wall" in page
    assert "white pine 1×6" in page
    for name in ("boards", "wood", "fasteners", "times", "allowances"):
        address = reverse("records", args=[name])
        assert address in page
        assert client.get(address).status_code == 200


def test_the_stock_of_another_shop_is_not_listed(client: Client, stranger: User, stocked: Shop) -> None:
    client.force_login(stranger)
    assert "42-26C-42 single wall" not in client.get(reverse("settings")).content.decode().partition('id="stock"')[2]


def test_a_board_out_of_stock_cannot_be_chosen_in_the_settings(client: Client, owner: User, stocked: Shop) -> None:
    BoardRow.objects.filter(name="42-26C-42 single wall").update(in_stock=False)
    client.force_login(owner)
    choices = client.get(reverse("settings")).context["form"].fields["board"].choices
    assert "42-26C-42 single wall" not in [value for value, _label in choices]


@pytest.mark.parametrize(("unit", "listed"), [("mm", "4 ± 0.3 mm"), ("in", "0.157 ± 0.012 in")])
def test_stock_is_listed_in_the_readers_units(
    client: Client, owner: User, stocked: Shop, unit: str, listed: str
) -> None:
    BoardRow.objects.update(price_m2=Decimal("1.6"))
    owner.length_unit = unit
    owner.save()
    client.force_login(owner)
    page = client.get(reverse("settings")).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert listed in page
    assert "1.6 EUR" in page


def test_a_sheet_too_small_for_any_blank_leaves_the_wooden_box_and_says_both_sizes(ready: Order) -> None:
    BoardRow.objects.update(sheet_across_mm=Decimal(300), sheet_along_mm=Decimal(300))
    box = adapter.plan_of(only_plan(planning.plan_now(ready, 0.2))).box
    assert box.family == "wood"
    assert any("the flutes" in note and "is 300 mm" in note for note in map(str, box.notes))


def test_board_that_may_only_be_sawn_leaves_the_wooden_box_and_says_why(ready: Order) -> None:
    BoardRow.objects.update(cut_by="saw")
    box = adapter.plan_of(only_plan(planning.plan_now(ready, 0.2))).box
    assert box.family == "wood"
    assert any("is no plain rectangle and needs a knife or a laser" in note for note in map(str, box.notes))


def test_a_new_shop_starts_with_usual_sheets_that_say_they_are_to_be_checked(db: Any) -> None:
    inch, metric = open_shop("Inch forge", length_unit="in"), open_shop("Metric forge")
    thick = {
        shop.name: [float(row.nominal_mm) for row in SheetRow.objects.filter(shop=shop).order_by("nominal_mm")]
        for shop in (inch, metric)
    }
    assert thick == {"Inch forge": [3.175, 6.35, 12.7, 25.4, 38.1, 50.8], "Metric forge": [3, 6, 12, 25, 30, 50]}
    assert all("is invented" in row.source and row.sureness == "practice" for row in SheetRow.objects.all())


def test_what_a_sheet_costs_is_what_its_foam_and_board_are_reckoned_by(ready: Order, stocked: Shop) -> None:
    BoardRow.objects.exclude(name="42-26C-42 single wall").update(in_stock=False)
    BoardRow.objects.filter(in_stock=True).update(price_m2=Decimal("1.6"))
    Shop.objects.update(foam_price_m3=Decimal(290))
    sides = {"length_mm": Decimal(2000), "width_mm": Decimal(1000), "price": Decimal(30)}
    thick = {"nominal_mm": Decimal(25), "thickness_mm": Decimal(25)}
    SheetRow.objects.create(shop=stocked, material="PE foam", **thick, **sides)
    board = {"nominal_mm": Decimal(4), "thickness_mm": Decimal(4)}
    SheetRow.objects.create(shop=stocked, material="42-26C-42 single wall", **board, **sides)
    # Cheaper, but of another thickness than the box is of.
    other = {"nominal_mm": Decimal(7), "thickness_mm": Decimal(7), **sides, "price": Decimal(2)}
    SheetRow.objects.create(shop=stocked, material="42-26C-42 single wall", **other)
    cost = present(adapter.plan_of(only_plan(planning.plan_now(Order.objects.get(), 0.2))).box.cost)
    lines = {str(line.what): line for line in cost.lines}
    foam = lines["PE foam, 25 mm, by the price of a sheet in stock"]
    assert (foam.price, foam.unit.value) == (Decimal(15), "m²")
    assert lines["42-26C-42 single wall, 4 mm, by the price of a sheet in stock"].price == Decimal(15)
    assert lines["PE foam"].price == Decimal(290)


def test_an_offcut_and_a_sheet_without_a_price_price_nothing(stocked: Shop) -> None:
    sides = {"length_mm": Decimal(2000), "width_mm": Decimal(1000)}
    thick = {"nominal_mm": Decimal(25), "thickness_mm": Decimal(25)}
    SheetRow.objects.create(shop=stocked, material="PE foam", **thick, **sides)
    SheetRow.objects.create(shop=stocked, material="PE foam", price=Decimal(9), offcut=True, **thick, **sides)
    assert sheet_prices(stocked) == {}


def test_a_makers_curve_says_how_hard_a_fall_is_and_where_it_says_nothing(ready: Order, forge: Shop) -> None:
    rows = [(762_000, 50_800, stress, peak) for stress, peak in ((1_000, 120), (3_000, 60), (8_000, 45))]
    names = ("height_um", "thickness_um", "stress_pa", "peak_g")
    Shop.objects.update(foam_curve=[dict(zip(names, row, strict=True)) for row in rows])
    notes = [str(note) for note in adapter.plan_of(only_plan(planning.plan_now(Order.objects.get(), 0.2))).notes]
    assert any("By its maker's curve the foam stops" in note and "scrap steel" in note for note in notes)
    planning.plan_now(Order.objects.get(), 0.2)
    Shop.objects.update(foam_curve=[])
    assert adapter.changes_since(Order.objects.get()) == ["The foam has changed."]
