"""Orders cut together: the same sheets, taken once for all, given back once."""

from collections import Counter
from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.models import (
    BoxPlan,
    Customer,
    Order,
    OrderLine,
    Parcel,
    Product,
    SheetRow,
    Shop,
    StockMove,
    StockTaking,
    User,
)
from shop.papers.context import context_from_plan
from shop.papers.from_stock import from_stock
from shop.papers.storage import made_from
from shop.services import allocation, cut_together, planning, stock
from shop.services.errors import CannotTakeStock
from tests.shop.conftest import make_piece
from tests.shop.planned import only_parcel
from tests.shop.services.test_stock import counts, foam, plan_of

pytestmark = pytest.mark.both_databases


@pytest.fixture
def two(product: Product, customer: Customer, stocked: Shop) -> list[Order]:
    """Two planned orders of a hammer each, and foam of every thickness that they need."""
    made = []
    for number in (17, 18):
        order = Order.objects.create(customer=customer, number=number)
        line = OrderLine.objects.create(order=order, product=product, quantity=1)
        allocation.allocate(order, [(line, make_piece(product, number))])
        planning.plan_now(order, 0.2)
        made.append(Order.objects.get(number=number))
    inserts = [adapter.plan_of(plan_of(order)).insert for order in made]
    thick = {sheet.thickness_um for insert in inserts for sheet in insert.sheets}
    thick |= {one for insert in inserts for loose in insert.loose for one in loose.thicknesses_um}
    for one in sorted(thick):
        foam(stocked, str(Decimal(one) / 1000))
    return made


def parcels(orders: list[Order]) -> list[Parcel]:
    return [only_parcel(order) for order in orders]


def plans(orders: list[Order]) -> list[BoxPlan]:
    return [plan_of(order) for order in orders]


def test_every_part_of_every_order_is_laid_once_and_named_after_its_order(two: list[Order]) -> None:
    laid = cut_together.lay(parcels(two))
    names = Counter(
        one.part.id for cut in laid.cuts if cut.layout for sheet in cut.layout.sheets for one in sheet.parts
    )
    wanted = Counter(
        f"{order.number} {sheet.id}" for order in two for sheet in adapter.plan_of(plan_of(order)).insert.sheets
    )
    assert wanted <= names
    assert all(name.startswith(("17 ", "18 ")) for name in names)
    assert laid.takes_anything


def test_two_orders_take_once_and_no_more_sheets_than_each_alone(two: list[Order], owner: User) -> None:
    before = counts()
    alone = 0
    for order in two:
        stock.take(only_parcel(order), plan_of(order))
        alone += sum(before.values()) - sum(counts().values())
        stock.give_back(order, 1)
    together = cut_together.take_together(parcels(two), plans(two), owner)
    assert together.parcel_names == ("17", "18")
    assert 0 < sum(before.values()) - sum(counts().values()) <= alone
    labels = [row.label for row in SheetRow.objects.filter(offcut=True, count=1).order_by("pk")]
    assert labels == [f"17+1-{at}" for at in range(1, len(labels) + 1)]
    with pytest.raises(CannotTakeStock, match="has taken its stock already"):
        stock.take(only_parcel(two[1]), plan_of(two[1]))
    with pytest.raises(CannotTakeStock, match="Order 17 has taken its stock already"):
        cut_together.take_together(parcels(two), plans(two))
    assert cut_together.ready_to_cut(two[0].shop) == []


@pytest.mark.parametrize("which", [0, 1])
def test_giving_back_for_one_gives_back_for_all_and_once(two: list[Order], which: int) -> None:
    before = counts()
    cut_together.take_together(parcels(two), plans(two))
    stock.give_back(two[which], 1)
    assert counts() == before
    assert not SheetRow.objects.filter(offcut=True, count__gt=0).exists()
    assert not StockTaking.objects.filter(given_back_at__isnull=True).exists()
    for order in two:
        with pytest.raises(CannotTakeStock, match="has taken nothing from stock"):
            stock.give_back(order, 1)
    assert sum(move.change for move in StockMove.objects.all()) == 0
    assert cut_together.ready_to_cut(two[0].shop) == parcels(two)
    cut_together.take_together(parcels(two), plans(two))


def test_what_has_changed_meanwhile_takes_nothing(two: list[Order], monkeypatch: pytest.MonkeyPatch) -> None:
    laid_out: Any = adapter.cut_plans_from

    def slowly(*args: Any) -> Any:
        found = laid_out(*args)
        SheetRow.objects.update(count=1)
        return found

    monkeypatch.setattr(adapter, "cut_plans_from", slowly)
    with pytest.raises(CannotTakeStock, match="The stock has changed meanwhile"):
        cut_together.take_together(parcels(two), plans(two))
    assert not StockTaking.objects.exists()


def test_stock_that_is_too_little_is_said_and_nothing_is_taken(two: list[Order]) -> None:
    SheetRow.objects.update(count=0)
    with pytest.raises(CannotTakeStock, match="Nothing is taken from stock"):
        cut_together.take_together(parcels(two), plans(two))
    SheetRow.objects.update(material="cork")
    with pytest.raises(CannotTakeStock, match="No stock sheet is of a material of orders 17, 18"):
        cut_together.take_together(parcels(two), plans(two))
    with pytest.raises(CannotTakeStock, match="Name at least one order, and at most 24; here are 0"):
        cut_together.lay([])


def test_the_paper_of_an_order_that_is_cut_with_others_says_so(two: list[Order]) -> None:
    cut_together.take_together(parcels(two), plans(two))
    row = plan_of(two[1])
    (page,) = from_stock(adapter.plan_of(row), context_from_plan(row), insert=True)
    assert page.joints == (
        "The parts of this order are cut together with others, orders 17, 18: see the paper of these.",
    )
    assert page.sheets == ()


def test_papers_made_before_orders_are_cut_together_are_out_of_date_until_it_is_given_back(two: list[Order]) -> None:
    row = plan_of(two[1])
    before = [made_from(kind, context_from_plan(row)) for kind in ("insert", "slip")]
    group = cut_together.take_together(parcels(two), plans(two))
    insert, slip = (made_from(kind, context_from_plan(row)) for kind in ("insert", "slip"))
    assert insert != before[0] and slip == before[1]
    stock.give_back_group(group)
    assert [made_from(kind, context_from_plan(row)) for kind in ("insert", "slip")] == before
