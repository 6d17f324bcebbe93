"""The weigh-in of a closed box: causes named, decided with a reason, taped, and what no scale shows."""

from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from shop import adapter
from shop.models import ImmutableRowError, Order, Product, RateRule, Shop, WeighIn
from shop.services import dispatch
from shop.services.errors import CannotDispatch
from shop.services.weighing import Reading
from tests.shop.conftest import make_piece
from tests.shop.planned import act, only_parcel, only_plan


@pytest.fixture
def bench(log_in: Any) -> Any:
    return log_in("packer")


@pytest.fixture
def packed(planned: Any) -> Any:
    act(dispatch.pack, planned)
    return planned


def gross_g(order: Order) -> Decimal:
    return Decimal(adapter.plan_of(only_plan(order)).weight.gross_mg) / 1000


def weigh(client: Client, grams: Decimal, **more: Any) -> str:
    data = {"weighed": f"{grams:.0f}", "weight_unit": "g", **more}
    return client.post(reverse("weigh-in", args=[17, 1]), data, follow=True).content.decode()


def test_a_missing_piece_is_named_with_its_weight_and_nothing_is_closed(bench: Client, packed: Order) -> None:
    page = weigh(bench, gross_g(packed) - 1436)
    assert "CH125-007 (1440\u00a0g) may be missing." in page
    assert only_parcel(packed).weighed_g is None
    row = WeighIn.objects.get()
    assert (row.verdict, row.why) == ("stopped", "")
    assert "may be missing" in row.told


def test_a_like_piece_in_its_place_is_named(bench: Client, packed: Order, product: Product) -> None:
    other = make_piece(product, 12)
    type(other).objects.filter(pk=other.pk).update(weight_g=Decimal(1640))
    page = weigh(bench, gross_g(packed) + 203)
    assert "CH125-012 (1640\u00a0g) in place of CH125-007 (1440\u00a0g)?" in page


def test_what_is_off_is_taken_with_a_reason_alone_and_who_said_so_is_kept(bench: Client, packed: Order) -> None:
    off = gross_g(packed) + 300
    assert "Say why the box is closed all the same" in weigh(bench, off, confirmed="on")
    assert only_parcel(packed).weighed_g is None
    page = weigh(bench, off, confirmed="on", why="a second leaflet and a gift went in")
    assert "The weigh-in is recorded" in page
    row = WeighIn.objects.get(verdict="decided")
    assert (row.why, str(row.by)) == ("a second leaflet and a gift went in", "packer")
    assert "a second leaflet and a gift went in" in page


def test_a_reading_as_expected_is_kept_without_a_question(bench: Client, packed: Order) -> None:
    weigh(bench, gross_g(packed))
    row = WeighIn.objects.get()
    assert (row.verdict, row.told, row.tolerance_g > 0) == ("fits", "", True)


def test_the_service_itself_takes_nothing_that_is_off_without_a_reason(packed: Order) -> None:
    reading = Reading(Decimal(100), told="that is less than planned")
    with pytest.raises(CannotDispatch, match="stays on record"):
        dispatch.take_weigh_in(only_parcel(packed), reading)
    assert not WeighIn.objects.exists()


def test_swaps_that_the_scale_cannot_see_are_said(bench: Client, packed: Order, product: Product) -> None:
    make_piece(product, 12)
    page = bench.get(reverse("order", args=[17])).content.decode()
    assert "The scale does not show a swap of 1 piece of this box" in page
    assert "or CH125-012" in page


def test_swaps_of_pieces_that_differ_enough_are_not_said(bench: Client, packed: Order, product: Product) -> None:
    other = make_piece(product, 12)
    type(other).objects.filter(pk=other.pk).update(weight_g=Decimal(1740))
    assert "does not show a swap" not in bench.get(reverse("order", args=[17])).content.decode()


def sides(order: Order, grown_mm: float) -> dict[str, str]:
    length, width, height = (side / 1000 for side in adapter.plan_of(only_plan(order)).box.outer_um)
    return {"taped_length": str(length), "taped_width": str(width), "taped_height": str(height + grown_mm)}


def rule_at(forge: Shop, order: Order) -> None:
    """A service that bills by size, whose next step begins just above the planned height."""
    length, width, height = (Decimal(side) / 10_000 for side in adapter.plan_of(only_plan(order)).box.outer_um)
    RateRule.objects.create(
        shop=forge,
        carrier="Post",
        service="road",
        valid_from="2020-01-01",
        system="cm/kg",
        divisor=length * width * height / 20,
        side_rounding="none",
        weight_step="1",
    )


def test_a_box_that_grew_over_a_step_is_billed_by_its_taped_sides(bench: Client, packed: Order, forge: Shop) -> None:
    rule_at(forge, packed)
    page = weigh(bench, gross_g(packed), **sides(packed, 5))
    assert "Post: road bills 21 kg, not 20 kg as planned." in page
    assert "<strong>21 kg</strong>" in page


def test_a_box_that_did_not_grow_says_nothing(bench: Client, packed: Order, forge: Shop) -> None:
    rule_at(forge, packed)
    assert "as planned." not in weigh(bench, gross_g(packed), **sides(packed, 0))


def test_a_side_far_from_the_plan_is_asked_about(bench: Client, packed: Order) -> None:
    page = weigh(bench, gross_g(packed), **sides(packed, 40))
    assert "is it this box, is it closed flat?" in page
    assert only_parcel(packed).weighed_g is None


@pytest.mark.parametrize("text", ["-3", "tall", "0"])
def test_two_sides_alone_or_a_side_that_is_none_is_refused(bench: Client, packed: Order, text: str) -> None:
    assert "Tape all three sides, or none." in weigh(bench, gross_g(packed), taped_length="400", taped_width="200")
    taped = {"taped_length": "400", "taped_width": "200", "taped_height": text}
    assert weigh(bench, gross_g(packed), **taped).count('class="error"') >= 1
    assert only_parcel(packed).weighed_g is None


def test_readings_are_never_changed_nor_deleted(bench: Client, packed: Order) -> None:
    weigh(bench, gross_g(packed))
    row = WeighIn.objects.get()
    for change in (row.save, row.delete, WeighIn.objects.all().delete, lambda: WeighIn.objects.update(why="x")):
        with pytest.raises(ImmutableRowError):
            change()


@pytest.mark.both_databases
def test_the_database_asks_for_a_reason_too(bench: Client, packed: Order) -> None:
    parcel = only_parcel(packed)
    with pytest.raises(IntegrityError), transaction.atomic():
        WeighIn.objects.create(
            parcel=parcel, plan=parcel.plan, reading_g=1, expected_g=2, tolerance_g=1, verdict="decided"
        )


def test_a_coarser_scale_widens_the_tolerance(packed: Order, forge: Shop) -> None:
    from shop.services.weighing import expected_of

    fine = expected_of(only_parcel(packed)).tolerance_g
    Shop.objects.filter(pk=forge.pk).update(scale_step_g=200)
    assert expected_of(only_parcel(packed)).tolerance_g > fine + 50
