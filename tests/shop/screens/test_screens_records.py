"""What a shop sets up on screens of its own: steel, series, patterns, products, sets, blocks, stock."""

from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.forms.records import RecordForm
from shop.models import (
    AuditEntry,
    Block,
    BoardRow,
    Carton,
    LabourTime,
    Lot,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    ProductSet,
    Series,
    Shop,
)
from shop.presenters.first_steps import first_steps
from shop.presenters.records import KINDS
from tests.helpers import instance
from tests.shop.conftest import make_piece, make_product

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" viewBox="0 0 400 200">'
    '<path d="M0 0 L36 0 L36 80 L22 135 L14 135 L0 80{end}"/><path d="M36 48 L366 44 L366 76 L36 72 Z"/></svg>'
)
TARGETS = {
    "target_head_length_mm": "4 1/8 in",
    "target_head_height_mm": "1 5/8",
    "target_head_width_mm": "1 5/8",
    "target_handle_length_mm": "11 1/2",
    "target_handle_width_mm": "1 1/4",
    "target_handle_thickness_mm": "7/8",
    "target_weight_g": "2 lb 12 oz",
}


@pytest.fixture
def inches(forge: Shop) -> Shop:
    forge.length_unit, forge.weight_unit = "in", "lb"
    forge.save()
    return forge


def enter(client: Client, kind: str, **typed: Any) -> Any:
    return client.post(reverse("new-record", args=[kind]), typed)


def change(client: Client, kind: str, row: Any, **typed: Any) -> Any:
    return client.post(reverse("record", args=[kind, row.pk]), typed)


def delete(client: Client, kind: str, row: Any) -> str:
    answer = client.post(reverse("delete-record", args=[kind, row.pk]), follow=True)
    return str(answer.content.decode())


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_list_that_says_what_belongs_there(at_the_bench: Client, forge: Shop, kind: str) -> None:
    page = at_the_bench.get(reverse("records", args=[kind])).content.decode()
    assert str(KINDS[kind].why) in page
    assert "Nothing is here yet." in page


@pytest.mark.parametrize("kind", [kind for kind, what in KINDS.items() if what.adds])
def test_nothing_typed_is_a_sentence_at_each_field_that_is_needed(at_the_bench: Client, forge: Shop, kind: str) -> None:
    answer = enter(at_the_bench, kind)
    assert answer.status_code == 400
    assert " is needed." in answer.content.decode()
    assert not KINDS[kind].model._default_manager.exists()


def test_an_empty_shop_gets_from_steel_to_a_product_without_the_admin(at_the_bench: Client, inches: Shop) -> None:
    assert [step.done for step in first_steps(inches)] == [False] * 7
    enter(at_the_bench, "lots", name="Gate bar", received_kg="1000 lb")
    lot = Lot.objects.get()
    assert (lot.received_kg, lot.left_kg, lot.shop) == (Decimal("453.592"), Decimal("453.592"), inches)
    enter(at_the_bench, "series", lot=lot.pk, name="Sluice", planned_pieces="25")
    series = Series.objects.get()
    assert series.planned_pieces == 25
    enter(at_the_bench, "patterns", name="Rounding hammer", form="hammer", sharp="none")
    pattern = Pattern.objects.get()
    assert pattern.may_stand is True
    typed = {"series": series.pk, "pattern": pattern.pk, "code": "RH125", "name": "Rounding hammer"}
    answer = enter(at_the_bench, "products", **typed, head_weight_g="2 3/4", **TARGETS)
    assert answer.status_code == 302, answer.context["form"].errors
    product = Product.objects.get()
    assert round(product.head_weight_g, 4) == Decimal("1247.3790")
    assert product.target_head_length_mm == Decimal("104.775")
    page = at_the_bench.get(reverse("record", args=["products", product.pk])).content.decode()
    assert 'value="4 1/8"' in page
    assert "Target: head length, in" in page
    steps = first_steps(inches)
    assert [step.is_next for step in steps] == [False] * 4 + [True] + [False] * 2
    orders = at_the_bench.get(reverse("orders")).content.decode()
    assert "From the steel to the first box" in orders
    assert "Measure a piece" in orders


def test_the_first_steps_go_once_a_box_is_planned(at_the_bench: Client, planned: Order, forge: Shop) -> None:
    assert first_steps(forge) == []
    assert "From the steel to the first box" not in at_the_bench.get("/").content.decode()


def test_a_packer_looks_and_does_not_change(log_in: Any, series: Series) -> None:
    packer = log_in("packer")
    assert packer.get(reverse("records", args=["series"])).status_code == 200
    assert packer.get(reverse("record", args=["series", series.pk])).status_code == 403
    assert enter(packer, "lots", name="Bar", received_kg="1").status_code == 403
    assert packer.post(reverse("delete-record", args=["series", series.pk])).status_code == 403


def test_another_shops_rows_are_not_there(log_in: Any, series: Series, product: Product) -> None:
    stranger = log_in("stranger")
    assert stranger.get(reverse("record", args=["series", series.pk])).status_code == 404
    assert stranger.post(reverse("delete-record", args=["products", product.pk])).status_code == 404
    answer = enter(stranger, "series", lot=series.lot.pk, name="Theirs")
    assert answer.status_code == 400
    assert not Series.objects.filter(name="Theirs").exists()
    assert stranger.get(reverse("records", args=["nothing"])).status_code == 404


@pytest.mark.parametrize(
    ("kind", "typed", "sentence"),
    [
        ("lots", {"name": "Bar", "received_kg": "10", "left_kg": "12"}, "There cannot be more left than was received."),
        ("lots", {"name": "Bar", "received_kg": "a lot"}, "“a lot”"),
        ("lots", {"name": "Bar", "received_kg": "-3"}, "“-3”"),
        ("lots", {"name": "Bar", "received_kg": "1,234"}, "can be read in two ways"),
        (
            "blocks",
            {"name": "Wax", "length": "0", "width": "60", "height": "20", "weight_g": "90"},
            "Must be at least 0.01.",
        ),
        ("patterns", {"name": "Froe", "form": "axe", "sharp": "far", "eye_height": "70", "beard": "40"}, "110"),
        ("cartons", {"name": "Small", "length": "1/4 ell"}, "“ell” is not a unit of length"),
    ],
)
def test_bad_input_is_a_sentence_and_stores_nothing(
    at_the_bench: Client, forge: Shop, kind: str, typed: dict[str, str], sentence: str
) -> None:
    answer = enter(at_the_bench, kind, **typed)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    assert not KINDS[kind].model._default_manager.exists()


def test_days_of_a_series_are_in_order(at_the_bench: Client, series: Series) -> None:
    typed = {"lot": series.lot.pk, "name": series.name}
    refused = change(at_the_bench, "series", series, **typed, opened_on="2026-03-07", closed_on="2026-03-01")
    assert "2026-03-01 is before 2026-03-07" in refused.content.decode()
    refused = change(at_the_bench, "series", series, **typed, reopened_on="2026-03-01")
    assert "never closed" in refused.content.decode()
    answer = change(at_the_bench, "series", series, **typed, opened_on="2026-03-01", closed_on="2026-03-07")
    assert answer.status_code == 302
    series.refresh_from_db()
    assert not series.is_open


def test_targets_that_no_tool_can_have_are_refused(at_the_bench: Client, product: Product) -> None:
    typed = {"series": product.series.pk, "pattern": product.pattern.pk, "code": "CH125", "name": "CH125"}
    wide = dict.fromkeys(TARGETS, "40") | {"target_handle_length_mm": "300", "target_handle_width_mm": "60"}
    refused = change(at_the_bench, "products", product, **typed, head_weight_g="1000", **wide)
    assert refused.status_code == 400
    product.refresh_from_db()
    assert product.target_head_length_mm is None


def test_a_set_has_two_products_of_its_series(at_the_bench: Client, product: Product, other_product: Product) -> None:
    series = product.series
    refused = enter(at_the_bench, "sets", series=series.pk, name="Pair", products=[product.pk])
    assert "two products at least; 1 is chosen" in refused.content.decode()
    strange = make_product(Series.objects.create(lot=series.lot, name="Second"), "AX080")
    refused = enter(at_the_bench, "sets", series=series.pk, name="Pair", products=[product.pk, strange.pk])
    assert "AX080: not of the series First heat" in refused.content.decode()
    enter(at_the_bench, "sets", series=series.pk, name="Pair", products=[product.pk, other_product.pk])
    made = ProductSet.objects.get()
    assert set(made.products.all()) == {product, other_product}
    third = make_product(series, "CH200", head_g="2000")
    change(at_the_bench, "sets", made, series=series.pk, name="Pair", products=[product.pk, third.pk])
    assert set(made.products.all()) == {product, third}


def test_a_full_set_gains_each_new_product_of_its_series(
    at_the_bench: Client, product: Product, other_product: Product
) -> None:
    enter(at_the_bench, "sets", series=product.series.pk, name="All", full="on")
    made = ProductSet.objects.get()
    assert set(made.products.all()) == {product, other_product}
    typed = {"series": product.series.pk, "pattern": product.pattern.pk, "code": "CH200", "name": "Big"}
    enter(at_the_bench, "products", **typed, head_weight_g="2000")
    assert set(made.products.all()) == set(Product.objects.all())
    assert made.products.count() == 3


def test_a_traced_outline_is_read_from_a_file_and_taken_away_again(at_the_bench: Client, forge: Shop) -> None:
    peen = {"name": "Peen", "form": "hammer", "sharp": "none"}
    open_one = SimpleUploadedFile("peen.svg", SVG.format(end="").encode())
    assert (
        "its ends are 80.0 mm apart" in enter(at_the_bench, "patterns", **peen, outline_file=open_one).content.decode()
    )
    assert not Pattern.objects.exists()
    enter(at_the_bench, "patterns", **peen, outline_file=SimpleUploadedFile("peen.svg", SVG.format(end=" Z").encode()))
    pattern = Pattern.objects.get()
    assert instance(dict, pattern.traced)["handle"]
    change(at_the_bench, "patterns", pattern, **peen)
    pattern.refresh_from_db()
    assert pattern.traced
    assert change(at_the_bench, "patterns", pattern, **peen, drop_outline="on").status_code == 302
    pattern.refresh_from_db()
    assert pattern.traced is None


def test_what_is_used_stays_and_what_was_never_used_goes(
    at_the_bench: Client, order: Order, wax: Block, product: Product, piece: Piece
) -> None:
    OrderLine.objects.create(order=order, block=wax)
    assert "stays: it is used by" in delete(at_the_bench, "blocks", wax)
    assert "CH125-007" in delete(at_the_bench, "products", product)
    assert Product.objects.filter(pk=product.pk).exists()
    spare = Block.objects.create(
        shop=order.shop, name="Rag", length=Decimal(90), width=Decimal(60), height=Decimal(9), weight_g=Decimal(30)
    )
    assert "Rag is deleted" in delete(at_the_bench, "blocks", spare)
    assert AuditEntry.objects.filter(name="Rag").exists()


def test_another_one_like_it_begins_with_all_but_the_name(at_the_bench: Client, product: Product) -> None:
    page = at_the_bench.get(reverse("new-record", args=["products"]), {"like": product.pk})
    form = instance(RecordForm, page.context["form"])
    assert form.initial["head_weight_g"] == Decimal(1000)
    assert "name" not in form.initial
    assert not Product.objects.exclude(pk=product.pk).exists()


def test_a_link_from_a_lot_chooses_it_beforehand(at_the_bench: Client, series: Series) -> None:
    page = at_the_bench.get(reverse("new-record", args=["series"]), {"lot": series.lot.pk}).content.decode()
    assert f'<option value="{series.lot.pk}" selected>' in page


def test_a_row_changed_meanwhile_is_told_and_not_written_over(
    at_the_bench: Client, series: Series, other_forge: Shop
) -> None:
    page = at_the_bench.get(reverse("record", args=["series", series.pk]))
    seen = page.context["form"].seen
    Series.objects.filter(pk=series.pk).update(name="Renamed")
    answer = change(at_the_bench, "series", series, lot=series.lot.pk, name=series.name, planned_pieces="9", seen=seen)
    assert answer.status_code == 400
    assert "has been changed meanwhile" in answer.content.decode()
    series.refresh_from_db()
    assert (series.name, series.planned_pieces) == ("Renamed", None)


def test_the_page_of_steel_says_what_heads_took_and_what_is_left_for(at_the_bench: Client, product: Product) -> None:
    make_piece(product, 1, head_weight_g=Decimal("1012"))
    make_piece(product, 2)
    page = " ".join(at_the_bench.get(reverse("steel")).content.decode().split())
    # 1012 g weighed and 1000 g nominal; 31 kg left of heads of 1000 g.
    assert "Heads of its pieces: 2 kg" in page
    assert ">31</td>" in page


def test_a_time_of_work_is_changed_and_not_added(at_the_bench: Client, forge: Shop) -> None:
    time = LabourTime.objects.create(shop=forge, what="corner", minutes=Decimal("0.1"))
    assert change(at_the_bench, "times", time, minutes="0,25").status_code == 302
    time.refresh_from_db()
    assert time.minutes == Decimal("0.25")
    assert at_the_bench.get(reverse("new-record", args=["times"])).status_code == 404
    assert at_the_bench.post(reverse("delete-record", args=["times", time.pk])).status_code == 404


def test_a_board_of_an_inch_shop_reads_and_shows_inches(at_the_bench: Client, inches: Shop) -> None:
    typed = {"name": "C flute", "flute": "C", "wall": "single", "grade": "32 ECT", "caliper_mm": "5/32"}
    typed |= {"caliper_tolerance_mm": "1/64", "grammage_g_m2": "560", "joint_mm": "1 3/8", "cut_by": "knife"}
    numbers = {"burst_psi": "0", "facings_lb": "0", "ect_lb_in": "32"}
    answer = enter(at_the_bench, "boards", **typed, **numbers, in_stock="on")
    assert answer.status_code == 302, answer.context["form"].errors
    board = BoardRow.objects.get(name="C flute")
    assert board.caliper_mm == Decimal("3.969")
    assert 'value="5/32"' in at_the_bench.get(reverse("record", args=["boards", board.pk])).content.decode()


def queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as caught:
        client.get(address)
    return len(caught)


def test_lists_take_as_many_queries_for_one_row_as_for_many(at_the_bench: Client, product: Product) -> None:
    ProductSet.objects.create(series=product.series, name="Pair")
    addresses = [reverse("steel"), *(reverse("records", args=[kind]) for kind in ("products", "series", "sets"))]
    few = [queries(at_the_bench, address) for address in addresses]
    for number in range(4):
        made = Series.objects.create(lot=product.series.lot, name=f"Heat {number}")
        make_product(made, f"CH{number}00", head_g="1500")
        ProductSet.objects.create(series=made, name=f"Set {number}")
    assert [queries(at_the_bench, address) for address in addresses] == few


TAKEN = [
    ("lots", {"name": "Anvil bar", "received_kg": "3"}, "name “Anvil bar” is taken"),
    ("patterns", {"name": "Rounding", "form": "hammer", "sharp": "none"}, "name “Rounding” is taken"),
    ("blocks", {"name": "Rag", "length": "90", "width": "60", "height": "9", "weight_g": "30"}, "“Rag” is taken"),
    (
        "sheets",
        {
            "label": "R7",
            "material": "PE foam",
            "nominal_mm": "30",
            "thickness_mm": "30",
            "tolerance_mm": "0.5",
            "length_mm": "500",
            "width_mm": "400",
            "trim_mm": "0",
            "kerf_mm": "0",
            "cut_by": "knife",
            "count": "1",
            "sureness": "practice",
        },
        "written on it “R7” is taken",
    ),
]


@pytest.mark.parametrize(("kind", "typed", "sentence"), TAKEN)
def test_a_name_that_is_taken_is_said(
    at_the_bench: Client, forge: Shop, kind: str, typed: dict[str, str], sentence: str
) -> None:
    first = enter(at_the_bench, kind, **typed)
    assert first.status_code == 302, first.context["form"].errors
    answer = enter(at_the_bench, kind, **typed)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    row = KINDS[kind].model._default_manager.get()
    assert change(at_the_bench, kind, row, **typed).status_code == 302


def test_a_name_that_is_taken_is_said_of_what_takes_its_shop_from_another_row(
    at_the_bench: Client, product: Product, other_product: Product
) -> None:
    series = product.series
    refused = enter(at_the_bench, "series", lot=series.lot.pk, name=series.name)
    assert f"name “{series.name}” is taken" in refused.content.decode()
    typed = {"series": series.pk, "pattern": product.pattern.pk, "name": "Again", "head_weight_g": "777"}
    assert (
        f"code “{product.code}” is taken"
        in enter(at_the_bench, "products", **typed, code=product.code).content.decode()
    )
    ProductSet.objects.create(series=series, name="Pair")
    both = [product.pk, other_product.pk]
    refused = enter(at_the_bench, "sets", series=series.pk, name="Pair", products=both)
    assert "name “Pair” is taken" in refused.content.decode()


def test_a_product_in_a_set_stays_in_its_series(at_the_bench: Client, product: Product, other_product: Product) -> None:
    made = ProductSet.objects.create(series=product.series, name="Pair")
    made.products.set([product, other_product], through_defaults={"shop": product.shop})
    other = Series.objects.create(lot=product.series.lot, name="Second")
    typed = {"series": other.pk, "pattern": product.pattern.pk, "code": product.code, "name": product.name}
    refused = change(at_the_bench, "products", product, **typed, head_weight_g="1000")
    assert "while it is in a set of its series: Pair." in refused.content.decode()
    made.members.all().delete()
    assert change(at_the_bench, "products", product, **typed, head_weight_g="1000").status_code == 302


def test_a_packer_sees_no_price_of_stock(log_in: Any, at_the_bench: Client, forge: Shop) -> None:
    Carton.objects.create(
        shop=forge, name="Bought", length=300, width=200, height=100, board="B", count=3, price=Decimal("87.65")
    )
    address = reverse("records", args=["cartons"])
    assert "Price each" in at_the_bench.get(address).content.decode()
    page = log_in("packer").get(address).content.decode()
    assert "Bought" in page and "Price each" not in page and "87.65" not in page


@pytest.mark.parametrize("kind", ["cartons", "boards", "wood", "sheets"])
def test_no_heading_speaks_of_prices_to_who_sees_none(log_in: Any, forge: Shop, kind: str) -> None:
    assert KINDS[kind].priced
    assert not any("Price" in str(heading) for heading in KINDS[kind].shown(prices=False))


@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "2201-01-01", "9999-12-31"])
def test_a_day_of_no_sensible_year_is_refused(at_the_bench: Client, forge: Shop, day: str) -> None:
    answer = enter(at_the_bench, "lots", name="Bar", received_kg="1", received_on=day)
    assert f"Days are of the years 1900 to 2200, not {day}." in answer.content.decode()
