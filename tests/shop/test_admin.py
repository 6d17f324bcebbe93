"""Django's admin: for the owner, and no way round what is never changed."""

from typing import Any

import pytest
from django.apps import apps
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from shop.models import (
    Block,
    BoardRow,
    BoxPlan,
    Customer,
    Membership,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    Shop,
    User,
)
from shop.services import allocation


@pytest.fixture
def desk(client: Client, owner: User) -> Any:
    client.force_login(owner)
    return client


@pytest.fixture
def plan(order: Order) -> Any:
    return BoxPlan.objects.create(
        order=order, content={}, order_content={}, rules={}, code_version="0", input_hash="a" * 64
    )


def test_every_kind_of_row_can_be_looked_at() -> None:
    reached = set(admin.site._registry)
    inline = {inline.model for model_admin in admin.site._registry.values() for inline in model_admin.inlines}
    assert set(apps.get_app_config("shop").get_models()) == {m for m in reached | inline if m._meta.app_label == "shop"}


@pytest.mark.parametrize("model", sorted(admin.site._registry, key=str), ids=lambda model: model.__name__)
def test_each_list_opens(desk: Any, model: Any, plan: Any, piece: Piece) -> None:
    assert desk.get(reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_changelist")).status_code == 200


def test_a_packer_does_not_get_in(client: Client, packer: User) -> None:
    client.force_login(packer)
    assert client.get(reverse("admin:index")).status_code == 302


def test_a_box_plan_is_only_looked_at(desk: Any, plan: Any) -> None:
    change = reverse("admin:shop_boxplan_change", args=[plan.pk])
    assert desk.get(change).status_code == 200
    assert desk.post(change, {"code_version": "1"}).status_code == 403
    assert desk.post(reverse("admin:shop_boxplan_delete", args=[plan.pk]), {"post": "yes"}).status_code == 403


def test_a_piece_cannot_be_deleted(desk: Any, piece: Piece) -> None:
    assert desk.post(reverse("admin:shop_piece_delete", args=[piece.pk]), {"post": "yes"}).status_code == 403
    assert Piece.objects.filter(pk=piece.pk).exists()


def test_a_pieces_number_and_state_cannot_be_changed(desk: Any, piece: Piece) -> None:
    data = {"number": "9", "state": "sent", "packed_name": "Gift", "mark": "none", "product": piece.product.pk}
    inlines = {"readings-TOTAL_FORMS": "0", "readings-INITIAL_FORMS": "0"}
    assert desk.post(reverse("admin:shop_piece_change", args=[piece.pk]), {**data, **inlines}).status_code == 302
    piece.refresh_from_db()
    assert (piece.number, piece.state, piece.packed_name) == (7, "rack", "Gift")


def test_measures_of_a_patterns_shape_are_checked_and_kept(desk: Any, forge: Shop) -> None:
    froe = {"shop": forge.pk, "name": "Froe", "form": "axe", "sharp": "far"}
    refused = desk.post(reverse("admin:shop_pattern_add"), froe | {"eye_height": "70", "beard": "40"})
    assert "110" in refused.content.decode()
    refused = desk.post(reverse("admin:shop_pattern_add"), froe | {"peen": "25"})
    assert "is not a measure of this form" in refused.content.decode()
    refused = desk.post(reverse("admin:shop_pattern_add"), froe | {"neck": "0"})
    assert refused.status_code == 200
    assert not Pattern.objects.filter(name="Froe").exists()
    desk.post(reverse("admin:shop_pattern_add"), froe | {"eye_height": "60", "beard": "40"})
    assert Pattern.objects.get(name="Froe").beard == 40


def test_a_new_pattern_begins_in_the_owners_shop(desk: Any, forge: Shop) -> None:
    page = desk.get(reverse("admin:shop_pattern_add"))
    assert page.context["adminform"].form.initial["shop"] == forge.pk
    desk.post(reverse("admin:shop_pattern_add"), {"shop": forge.pk, "name": "Froe", "form": "axe", "sharp": "far"})
    assert Pattern.objects.get().may_stand is False


def test_a_new_product_takes_its_series_shop(desk: Any, series: Any, product: Product) -> None:
    data = {"series": series.pk, "pattern": product.pattern.pk, "code": "CH200", "name": "Big", "head_weight_g": "2000"}
    assert desk.post(reverse("admin:shop_product_add"), data).status_code == 302
    assert series.products.get(code="CH200").shop == series.shop


def test_an_allocated_piece_shows_in_the_list_of_allocations(desk: Any, line: OrderLine, piece: Piece) -> None:
    allocation.allocate(line.order, [(line, piece)])
    assert b"CH125-007" in desk.get(reverse("admin:shop_allocation_changelist")).content


def test_a_carriers_rule_that_cannot_be_billed_by_is_refused(desk: Any, forge: Shop) -> None:
    values = {"shop": forge.pk, "carrier": "C", "service": "s", "valid_from": "2026-01-01", "system": "in/lb"}
    values |= {"side_rounding": "up", "weight_step": "1", "dim_threshold": "0", "sureness": "memory", "reach": "home"}
    page = desk.post(reverse("admin:shop_raterule_add"), {**values, "triggers": '[{"name": "x", "measure": "smell"}]'})
    assert b"must be one of longest" in page.content
    assert desk.post(reverse("admin:shop_raterule_add"), {**values, "triggers": "[]"}).status_code == 302


def test_whom_a_closed_box_is_for_cannot_be_changed(desk: Any, order: Order, line: OrderLine) -> None:
    Order.objects.update(state="packed")
    other = Customer.objects.create(shop=order.shop, name="B. Mason", country="SE")
    inlines = {"lines-TOTAL_FORMS": "1", "lines-INITIAL_FORMS": "1", "lines-0-id": line.pk, "lines-0-quantity": "9"}
    desk.post(reverse("admin:shop_order_change", args=[order.pk]), {"customer": other.pk, "number": "99", **inlines})
    order.refresh_from_db()
    line.refresh_from_db()
    assert (order.customer.name, order.number, line.quantity) == ("A. Carpenter", 17, 1)


def test_the_customer_of_an_open_order_can_be_changed(desk: Any, order: Order) -> None:
    other = Customer.objects.create(shop=order.shop, name="B. Mason", country="SE")
    inlines = {"lines-TOTAL_FORMS": "0", "lines-INITIAL_FORMS": "0"}
    placed = {"placed_at_0": "2026-03-07", "placed_at_1": "10:00:00"}
    data = {"customer": other.pk, "number": "17", **placed, **inlines}
    assert desk.post(reverse("admin:shop_order_change", args=[order.pk]), data).status_code == 302
    order.refresh_from_db()
    assert order.customer == other


@pytest.mark.parametrize(
    ("code", "said"), [("UK", "“UK” is not a country of the list"), ("Germany", "choose one by its name")]
)
def test_a_customer_lives_in_a_country_that_there_is(desk: Any, forge: Shop, code: Any, said: Any) -> None:
    data = {"shop": forge.pk, "name": "C. Wright", "country": code, "length_unit": "mm", "weight_unit": "g"}
    assert said in desk.post(reverse("admin:shop_customer_add"), data).content.decode()


def test_an_owner_who_is_demoted_is_out_at_the_next_request(desk: Any, owner: User) -> None:
    owner.is_staff = owner.is_superuser = True  # as an installation of an earlier version has it
    owner.save()
    assert desk.get(reverse("admin:index")).status_code == 200
    Membership.objects.filter(user=owner).update(role="packer")
    assert desk.get(reverse("admin:index")).status_code == 302
    assert desk.post(reverse("admin:shop_pattern_add"), {"name": "Froe"}).status_code == 302
    assert not Pattern.objects.exists()


def test_a_second_owner_gets_in(client: Client, forge: Shop, packer: User) -> None:
    Membership.objects.filter(user=packer).update(role="owner")
    client.force_login(packer)
    assert client.get(reverse("admin:shop_customer_changelist")).status_code == 200


def test_an_owner_who_is_removed_or_locked_out_is_out(desk: Any, owner: User) -> None:
    Membership.objects.all().delete()
    assert desk.get(reverse("admin:index")).status_code == 302


@pytest.mark.parametrize("name", ["shop", "customer", "piece", "membership", "user", "order"])
def test_the_rows_of_another_shop_are_not_there(
    client: Client, stranger: User, customer: Customer, piece: Piece, order: Order, owner: User, name: Any
) -> None:
    client.force_login(stranger)
    page = client.get(reverse(f"admin:shop_{name}_changelist"))
    own = {"shop": 1, "membership": 1, "user": 1}
    assert page.context["cl"].result_count == own.get(name, 0)
    row = {"customer": customer, "piece": piece, "order": order, "user": owner, "shop": piece.shop}.get(name)
    if row is not None:
        assert client.get(reverse(f"admin:shop_{name}_change", args=[row.pk])).status_code == 302


def test_a_row_cannot_be_pointed_at_another_shop(
    client: Client, stranger: User, customer: Customer, forge: Shop
) -> None:
    client.force_login(stranger)
    page = client.post(reverse("admin:shop_pattern_add"), {"shop": forge.pk, "name": "Froe", "form": "axe"})
    assert page.status_code == 200 and not Pattern.objects.exists()
    page = client.post(reverse("admin:shop_order_add"), {"customer": customer.pk, "number": "9"})
    assert page.status_code == 200 and not Order.objects.exists()


def test_people_are_not_let_in_here(desk: Any, owner: User, packer: User) -> None:
    assert desk.get(reverse("admin:shop_user_add")).status_code == 403
    assert desk.post(reverse("admin:shop_user_delete", args=[packer.pk]), {"post": "yes"}).status_code == 403
    assert desk.get(reverse("admin:shop_user_change", args=[packer.pk])).status_code == 200


def test_the_only_owner_does_not_shut_himself_out(desk: Any, owner: User) -> None:
    data = {"username": "owner", "length_unit": "", "weight_unit": ""}
    page = desk.post(reverse("admin:shop_user_change", args=[owner.pk]), data)
    assert "is the only owner of Test forge who can log in" in page.content.decode()
    owner.refresh_from_db()
    assert owner.is_active


BOARD = {
    "name": "Offcuts", "flute": "C", "wall": "single", "grade": "200#", "caliper_mm": "4",
    "caliper_tolerance_mm": "0.3", "grammage_g_m2": "560", "joint_mm": "35", "burst_psi": "0",
    "facings_lb": "0", "ect_lb_in": "0", "cut_by": "knife",
}  # fmt: skip


def add_board(desk: Any, forge: Any, **changes: Any) -> Any:
    return desk.post(reverse("admin:shop_boardrow_add"), {**BOARD, "shop": forge.pk, **changes}, follow=True)


@pytest.mark.parametrize(
    ("typed", "kept", "told"),
    [
        ("1/8 in", "3.175", "Caliper, mm: “1/8 in” was read as 3.175 mm."),
        ("3,9", "3.900", ""),
        ("5/32″", "3.969", "“5/32″” was read as 3.969 mm."),
    ],
)
def test_a_number_at_the_desk_is_read_with_units_and_fractions_and_said_again(
    desk: Any, forge: Shop, typed: Any, kept: Any, told: Any
) -> None:
    page = add_board(desk, forge, caliper_mm=typed).content.decode()
    assert str(BoardRow.objects.get(shop=forge).caliper_mm) == kept
    assert told in page


def test_a_fraction_without_a_unit_in_a_field_of_mm_is_asked_about(desk: Any, forge: Shop) -> None:
    page = add_board(desk, forge, caliper_mm="2 3/4").content.decode()
    assert "“2 3/4” has no unit: write 2 3/4 in, or a number of mm." in page
    assert not BoardRow.objects.filter(shop=forge).exists()


def test_no_number_field_of_the_desk_lets_the_browser_swallow_what_is_typed(desk: Any) -> None:
    for address in ("boardrow", "woodrow", "block", "carton", "product", "lot", "labourtime", "raterule", "graderule"):
        assert 'type="number"' not in desk.get(reverse(f"admin:shop_{address}_add")).content.decode(), address


def test_ounces_at_the_desk_are_grams_in_the_column(desk: Any, forge: Shop) -> None:
    data = {"shop": forge.pk, "name": "wax", "length": "3 in", "width": "70", "height": "30 mm", "weight_g": "4 oz"}
    desk.post(reverse("admin:shop_block_add"), data)
    block = Block.objects.get()
    assert (float(block.length), round(float(block.weight_g), 2)) == (76.2, 113.4)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ('[{"name": "a\\ud800"}]', "no character"),
        ('{"\\udc00": 1}', "no character"),
        ('[{"name": "a\\u0000"}]', "no character"),
        ("9" * 5000, "too large to be read"),
        ("[" * 50_000 + "]" * 50_000, "too large to be read"),
    ],
)
def test_json_that_cannot_be_stored_is_refused_in_words(desk: Any, typed: str, said: str) -> None:
    answer = desk.post(reverse("admin:shop_raterule_add"), {"triggers": typed})
    assert answer.status_code == 200 and said in answer.content.decode()
