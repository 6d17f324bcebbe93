"""The rows keep their rules whoever writes them."""

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction

from shop.models import (
    Allocation,
    Block,
    BoxPlan,
    Document,
    ImmutableRowError,
    Job,
    Lot,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    RateRule,
    Shop,
    ShopOwned,
)
from tests.shop.conftest import make_piece

HASH = "a" * 64

pytestmark = pytest.mark.both_databases


@pytest.fixture
def plan(order: Order) -> Any:
    return BoxPlan.objects.create(
        order=order, content={"status": "planned"}, order_content={}, rules={}, code_version="0", input_hash=HASH
    )


def test_every_row_but_people_and_shops_belongs_to_a_shop() -> None:
    without = {m.__name__ for m in apps.get_app_config("shop").get_models() if not issubclass(m, ShopOwned)}
    assert without == {"User", "Shop", "FirstOwnerLink", "LoginTries", "AuditEntry"}


def test_every_name_is_unique_within_a_shop_and_not_beyond(forge: Shop, other_forge: Any) -> None:
    values = {"name": "Bar 7", "received_kg": 1, "left_kg": 1}
    Lot.objects.create(shop=forge, **values)
    Lot.objects.create(shop=other_forge, **values)
    with pytest.raises(IntegrityError), transaction.atomic():
        Lot.objects.create(shop=forge, **values)


def test_a_row_takes_the_shop_of_its_parent(piece: Piece, forge: Shop) -> None:
    assert piece.shop == forge


def test_rows_of_two_shops_are_not_mixed(product: Product, other_forge: Any) -> None:
    with pytest.raises(ValidationError, match="belongs to another shop"):
        Piece.objects.create(shop=other_forge, product=product, number=1)


def test_a_number_is_never_given_twice_in_a_product(piece: Piece) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_piece(piece.product, 7)


def test_the_same_number_in_another_product_is_another_piece(piece: Piece, other_product: Any) -> None:
    assert make_piece(other_product, 7).label == "SP080-007"


def test_numbers_start_at_one(product: Product) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_piece(product, 0)


def test_a_piece_is_never_deleted(piece: Piece) -> None:
    with pytest.raises(ImmutableRowError, match="never deleted"):
        piece.delete()


def test_pieces_are_never_deleted_in_bulk(piece: Piece) -> None:
    with pytest.raises(ImmutableRowError, match="never deleted"):
        Piece.objects.all().delete()


def test_a_product_with_pieces_cannot_take_them_with_it(piece: Piece) -> None:
    with pytest.raises(models.ProtectedError):
        piece.product.delete()


@pytest.mark.parametrize("state", ["scrapped", "mis-stamped", "kept back"])
def test_a_piece_off_the_rack_without_a_reason_is_refused_by_the_database(piece: Piece, state: Any) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Piece.objects.filter(pk=piece.pk).update(state=state, reason="")


def test_a_piece_without_weight_is_not_measured(product: Product) -> None:
    make_piece(product, 1, weight_g=None)
    measured = make_piece(product, 2, eye_offset=None)
    assert list(Piece.objects.measured()) == [measured]
    assert measured.is_measured


def test_a_measure_is_stored_to_a_ten_thousandth_of_a_micrometre(product: Product) -> None:
    make_piece(product, 1, head_length=Decimal("12345.1234567"))
    assert Piece.objects.get().head_length == Decimal("12345.1234567")


@pytest.mark.parametrize(("form", "stands"), [("hammer", True), ("mallet", True), ("axe", False), ("adze", False)])
def test_axes_and_adzes_do_not_stand_unless_the_shop_says_so(forge: Shop, form: Any, stands: Any) -> None:
    assert Pattern.objects.create(shop=forge, name="a", form=form).may_stand is stands
    assert Pattern.objects.create(shop=forge, name="b", form=form, may_stand=not stands).may_stand is not stands


def test_a_mallets_head_is_of_wood_unless_said(forge: Shop) -> None:
    assert Pattern.objects.create(shop=forge, name="a", form="mallet").head_material == "wood"
    assert Pattern.objects.create(shop=forge, name="b", form="axe").head_material == "steel"


@pytest.mark.parametrize("code", ["ch125", "../x", "CH 125", "", "-1"])
def test_a_products_code_is_plain_capitals_and_figures(product: Product, code: Any) -> None:
    product.code = code
    with pytest.raises(ValidationError):
        product.full_clean()


def test_a_series_may_be_closed_and_reopened(series: Any) -> None:
    series.closed_on = dt.date(2026, 3, 1)
    assert not series.is_open
    series.reopened_on = dt.date(2026, 5, 1)
    assert series.is_open


def test_a_line_is_one_thing_only(order: Order, product: Product, wax: Block) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        OrderLine.objects.create(order=order, product=product, block=wax)


def test_only_a_set_can_be_matched(order: Order, product: Product) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        OrderLine.objects.create(order=order, product=product, matched=True)


def test_a_line_is_priced_in_the_shops_currency_unless_said(line: OrderLine) -> None:
    assert line.currency == "EUR"


def test_an_allocation_is_released_not_deleted(line: OrderLine, piece: Piece) -> None:
    held = Allocation.objects.create(line=line, piece=piece)
    with pytest.raises(ImmutableRowError, match="released, not deleted"):
        held.delete()


def test_a_box_plan_is_never_saved_again(plan: Any) -> None:
    plan.content = {"status": "changed"}
    with pytest.raises(ImmutableRowError, match="never changed"):
        plan.save()


def test_a_box_plan_read_back_is_never_saved_again(plan: Any) -> None:
    with pytest.raises(ImmutableRowError, match="never changed"):
        BoxPlan.objects.get().save(update_fields=["content"])


@pytest.mark.parametrize("change", ["update", "bulk_update", "delete"])
def test_box_plans_are_never_changed_in_bulk(plan: Any, change: Any) -> None:
    actions: dict[str, Callable[[], object]] = {
        "update": lambda: BoxPlan.objects.update(content={}),
        "bulk_update": lambda: BoxPlan.objects.bulk_update([plan], ["content"]),
        "delete": lambda: BoxPlan.objects.all().delete(),
    }
    with pytest.raises(ImmutableRowError, match="never"):
        actions[change]()


def test_a_box_plan_is_never_deleted(plan: Any) -> None:
    with pytest.raises(ImmutableRowError, match="never deleted"):
        plan.delete()


def test_a_papers_file_is_named_by_its_hash_in_the_data_folder(plan: Any, settings: Any) -> None:
    paper = Document(plan=plan, kind="slip", page_size="A4", sha256=HASH, made_from_hash=HASH)
    assert paper.path == settings.PAPERS_DIR / f"{HASH}.pdf"


@pytest.mark.parametrize(
    ("day", "found"), [("2025-08-17", ["old"]), ("2025-08-18", ["new"]), ("2020-01-01", []), ("2030-01-01", ["new"])]
)
def test_the_rules_in_force_on_a_day_include_their_first_and_last_day(forge: Shop, day: Any, found: Any) -> None:
    shared = {"shop": forge, "carrier": "Carrier", "system": "in/lb"}
    RateRule.objects.create(service="old", valid_from="2021-01-01", valid_to="2025-08-17", **shared)
    RateRule.objects.create(service="new", valid_from="2025-08-18", **shared)
    assert [rule.service for rule in RateRule.objects.valid_on(dt.date.fromisoformat(day))] == found


def test_a_rule_that_ends_before_it_begins_is_refused(forge: Shop) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        RateRule.objects.create(
            shop=forge, carrier="C", service="s", system="in/lb", valid_from="2026-02-01", valid_to="2026-01-01"
        )


def test_a_time_zone_that_does_not_exist_is_refused(forge: Shop) -> None:
    forge.timezone = "Europe/Atlantis"
    with pytest.raises(ValidationError, match="Europe/Atlantis is not a time zone"):
        forge.full_clean()


def test_a_job_starts_waiting(order: Order) -> None:
    job = Job.objects.create(order=order, kind="plan")
    assert (job.state, job.attempts, job.max_attempts, job.is_over) == ("waiting", 0, 3, False)
