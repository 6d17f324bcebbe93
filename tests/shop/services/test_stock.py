"""Stock is taken once, given back whole, and never without a reason refused."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import models

from shop import adapter
from shop.models import (
    AuditEntry,
    BoxPlan,
    ImmutableRowError,
    Order,
    OrderLine,
    Piece,
    SheetRow,
    Shop,
    StockMove,
    StockTaking,
    User,
)
from shop.services import allocation, planning, stock
from shop.services.errors import CannotTakeStock, DomainError
from tests.shop.planned import only_parcel, only_plan
from tests.shop.services.test_lost_updates import at_once, threads_on_servers

pytestmark = pytest.mark.both_databases
FOAM = {"material": "PE foam", "length_mm": Decimal(1200), "width_mm": Decimal(600), "cut_by": "knife", "count": 5}


def foam(forge: Shop, thickness: str, **values: Any) -> SheetRow:
    sizes = {"nominal_mm": Decimal(thickness), "thickness_mm": Decimal(thickness)}
    return SheetRow.objects.create(shop=forge, **{**FOAM, **sizes, **values})


@pytest.fixture
def ready(line: OrderLine, piece: Piece, stocked: Shop) -> Order:
    allocation.allocate(line.order, [(line, piece)])
    planning.plan_now(line.order, 0.2)
    return Order.objects.get()


@pytest.fixture
def shelf(ready: Order, forge: Shop) -> list[SheetRow]:
    """Foam of every thickness that the plan needs."""
    plan = adapter.plan_of(plan_of(ready))
    thicknesses = {sheet.thickness_um for sheet in plan.insert.sheets}
    thicknesses |= {one for loose in plan.insert.loose for one in loose.thicknesses_um}
    return [foam(forge, str(Decimal(one) / 1000)) for one in sorted(thicknesses)]


def plan_of(order: Order) -> BoxPlan:
    return only_plan(order)


def counts() -> dict[int, int]:
    return dict(SheetRow.objects.filter(offcut=False).values_list("pk", "count"))


def test_taking_counts_the_sheets_down_and_puts_numbered_offcuts_in(
    ready: Order, shelf: list[SheetRow], owner: User
) -> None:
    before = counts()
    taking = stock.take(only_parcel(ready), plan_of(ready), owner)
    used = {move.sheet_id: -move.change for move in taking.moves.all() if move.change < 0}
    assert used and counts() == {key: count - used.get(key, 0) for key, count in before.items()}
    offcuts = SheetRow.objects.filter(offcut=True)
    assert [row.label for row in offcuts.order_by("pk")] == [f"17-{at}" for at in range(1, len(offcuts) + 1)]
    assert all(row.count == 1 and row.material == "PE foam" for row in offcuts)
    assert AuditEntry.objects.filter(act="stock taken", kind="order", row=ready.pk).count() == 1


def test_what_was_taken_is_not_taken_again(ready: Order, shelf: list[SheetRow]) -> None:
    stock.take(only_parcel(ready), plan_of(ready))
    after = counts()
    with pytest.raises(CannotTakeStock, match="Order 17 has taken its stock already"):
        stock.take(only_parcel(ready), plan_of(ready))
    assert counts() == after


def test_giving_back_makes_the_stock_what_it_was_and_keeps_the_record(ready: Order, shelf: list[SheetRow]) -> None:
    before = counts()
    taking = stock.take(only_parcel(ready), plan_of(ready))
    stock.give_back(ready, 1)
    assert counts() == before
    assert not SheetRow.objects.filter(offcut=True, count__gt=0).exists()
    assert sum(move.change for move in StockMove.objects.filter(taking=taking)) == 0
    assert StockTaking.objects.get().given_back_at is not None
    with pytest.raises(CannotTakeStock, match="Order 17 has taken nothing from stock"):
        stock.give_back(ready, 1)


def test_stock_that_was_given_back_can_be_taken_again(ready: Order, shelf: list[SheetRow]) -> None:
    stock.take(only_parcel(ready), plan_of(ready))
    labels = set(SheetRow.objects.filter(offcut=True).values_list("label", flat=True))
    stock.give_back(ready, 1)
    stock.take(only_parcel(ready), plan_of(ready))
    assert set(SheetRow.objects.filter(offcut=True, count=1).values_list("label", flat=True)) == labels


def test_an_offcut_used_since_keeps_its_sheet_from_being_given_back(ready: Order, shelf: list[SheetRow]) -> None:
    stock.take(only_parcel(ready), plan_of(ready))
    SheetRow.objects.filter(label="17-1").update(count=0)
    after = counts()
    with pytest.raises(CannotTakeStock, match="Offcut 17-1 of order 17 has been used since"):
        stock.give_back(ready, 1)
    assert counts() == after
    assert stock.taking_of(ready, 1) is not None


def test_offcuts_go_before_whole_sheets(ready: Order, shelf: list[SheetRow], forge: Shop) -> None:
    for row in shelf:
        foam(forge, str(row.nominal_mm), label=f"old {row.pk}", offcut=True, count=1)
    before = counts()
    stock.take(only_parcel(ready), plan_of(ready))
    assert counts() == before


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"count": 0}, "No piece of PE foam of .* is left in stock for"),
        (
            {"length_mm": Decimal(90), "width_mm": Decimal(80)},
            r"larger than any PE foam of .*: 90\s×\s80\smm within",
        ),
        ({"thickness_mm": Decimal(1)}, r"in stock measures 1\smm: more than 0.5\smm too thin"),
        (
            {"cut_by": "none"},
            "need a knife or a laser .* or a band saw; that in stock may be cut by none alone",
        ),
        (
            {"nominal_mm": Decimal(99), "thickness_mm": Decimal(99)},
            r"There is no PE foam of .*, only of 99\smm",
        ),
    ],
)
def test_what_stock_does_not_allow_is_said_and_nothing_is_taken(
    ready: Order, shelf: list[SheetRow], change: dict[str, Any], words: str
) -> None:
    models.QuerySet.update(SheetRow.objects.all(), **change)
    before = counts()
    with pytest.raises(CannotTakeStock, match=words):
        stock.take(only_parcel(ready), plan_of(ready))
    assert counts() == before
    assert not StockTaking.objects.exists()


def test_stock_of_no_material_of_the_order_is_nothing_to_take(ready: Order, forge: Shop) -> None:
    foam(forge, "25", material="cork")
    with pytest.raises(CannotTakeStock, match="No stock sheet is of a material of order 17"):
        stock.take(only_parcel(ready), plan_of(ready))


def test_an_order_planned_again_meanwhile_is_looked_at_first(ready: Order, shelf: list[SheetRow]) -> None:
    seen = plan_of(ready)
    planning.plan_now(ready, 0.2)
    with pytest.raises(DomainError, match="planned again meanwhile"):
        stock.take(only_parcel(Order.objects.get()), seen)


def test_stock_that_changes_while_it_is_laid_out_is_not_taken(
    ready: Order, shelf: list[SheetRow], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out: Callable[..., Any] = adapter.cut_plan_from

    def slowly(*about: Any) -> Any:
        SheetRow.objects.filter(pk=shelf[0].pk).update(count=2)
        return laid_out(*about)

    monkeypatch.setattr(adapter, "cut_plan_from", slowly)
    with pytest.raises(CannotTakeStock, match="The stock has changed meanwhile"):
        stock.take(only_parcel(ready), plan_of(ready))
    assert counts()[shelf[0].pk] == 2
    assert not StockMove.objects.exists()


def test_papers_of_an_order_that_took_its_stock_show_the_stock_as_it_was(ready: Order, shelf: list[SheetRow]) -> None:
    before = stock.stock_for(plan_of(ready))
    stock.take(only_parcel(ready), plan_of(ready))
    assert stock.stock_for(plan_of(ready)) == before != adapter.sheets_of(ready.shop)


def test_moves_and_takings_stay(ready: Order, shelf: list[SheetRow]) -> None:
    taking = stock.take(only_parcel(ready), plan_of(ready))
    move = taking.moves.first()
    assert move is not None
    for act in (taking.delete, move.delete, move.save):
        with pytest.raises(ImmutableRowError):
            act()


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"thickness_mm": Decimal("23.4")}, "sold as 25 mm and measures 23.4 mm: more than 0.5 mm too thin"),
        ({"trim_mm": Decimal(300)}, "A trim of 300 mm at each edge leaves nothing"),
        ({"cut_by": "teeth"}, "knife, laser, saw"),
    ],
)
def test_a_row_that_cannot_be_is_refused_by_field(forge: Shop, values: dict[str, Any], words: str) -> None:
    sizes = {"nominal_mm": Decimal(25), "thickness_mm": Decimal(25), "tolerance_mm": Decimal("0.5")}
    row = SheetRow(shop=forge, **{**FOAM, **sizes, **values})
    with pytest.raises(ValidationError, match=words):
        row.full_clean()


@threads_on_servers
@pytest.mark.django_db(transaction=True)
def test_two_people_who_take_at_once_take_once(ready: Order, shelf: list[SheetRow]) -> None:
    before = counts()
    plan = plan_of(ready)
    said = at_once(2, lambda place: stock.take(only_parcel(Order.objects.get(pk=ready.pk)), plan))
    assert sum(isinstance(one, StockTaking) for one in said) == 1
    assert sum(isinstance(one, CannotTakeStock) for one in said) == 1
    used = -sum(move.change for move in StockMove.objects.filter(change__lt=0))
    assert sum(counts().values()) == sum(before.values()) - used
