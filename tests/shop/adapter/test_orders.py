"""Orders through the adapter: rows out as an order file, a plan back as content that the checker has read."""

from decimal import Decimal
from typing import Any

import pytest

from packing.measure import Rules
from packing.plan import Plan
from shop import adapter
from shop.models import Block, BoxPlan, Carton, Order, OrderLine, Piece, Product, Shop
from shop.services import allocation
from tests.helpers import instance
from tests.shop.conftest import make_piece, make_product
from tests.shop.planned import keep


@pytest.fixture
def allocated(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


def items_of(file: adapter.OrderFile) -> list[dict[str, Any]]:
    """The items as they are written."""
    return instance(list, file.content["items"])


def plan_of(order: Any) -> Any:
    """The order's file, and its plan after a second of search."""
    file = adapter.order_file(order)
    terms = adapter.terms_for(order, file.stock)
    return file, adapter.plan_content(instance(Plan, adapter.plan_with_offers(file, terms, seconds=1).answer))


def test_an_order_goes_out_with_its_pieces_measures_and_the_shops_rules(allocated: Any) -> None:
    content = adapter.order_file(allocated).content
    assert content["id"] == "17"
    assert content["rules"] == {
        "clearance": 1.5,
        "layer_pad": 12,
        "top_pad": 25,
        "sheets": [12, 25, 50],
        "bite": 1.5,
        "thin": [3, 6],
        "max_gross_g": 20000,
        "step": "1 mm",
        "layer_spare": 6,
        "layered": True,
        "web": 25,
        "wall": 25,
        "base_pad": 25,
    }
    assert content["items"] == [
        {
            "id": "CH125-007",
            "kind": "tool",
            "head_length": 105,
            "head_height": 42,
            "head_width": 42,
            "eye_offset": 52.5,
            "handle_length": 250,
            "handle_width": 33,
            "handle_thickness": 23,
            "weight_g": 1440,
            "form": "hammer",
            "sharp": "none",
            "may_stand": True,
        }
    ]


@pytest.mark.parametrize(("stored", "written"), [("104.776", 104.8), ("104.8", 104.8), ("104.8000001", 104.9)])
def test_lengths_are_rounded_up_to_a_tenth_of_a_millimetre(allocated: Any, stored: Any, written: Any) -> None:
    Piece.objects.update(head_length=Decimal(stored))
    assert items_of(adapter.order_file(allocated))[0]["head_length"] == written


@pytest.mark.parametrize(("mm", "written"), [("104.775", "104.77"), ("50.8", "50.80"), ("104.71", "104.8")])
def test_whole_sixteenths_of_an_inch_stay_what_they_are(product: Product, mm: Any, written: Any) -> None:
    """4 1/8 in and 2 in; 104.71 mm is none and is rounded up."""
    content = adapter.tool_content("x", product.pattern, {"head_length": Decimal(mm)})
    assert content["head_length"] == Decimal(written)


def test_weights_are_written_to_the_milligram_half_even(allocated: Any) -> None:
    Piece.objects.update(weight_g=Decimal("1360.7775"))
    assert items_of(adapter.order_file(allocated))[0]["weight_g"] == 1360.778


def test_an_eye_that_was_not_measured_is_in_the_middle_of_the_head(allocated: Any) -> None:
    Piece.objects.update(eye_offset=None)
    assert items_of(adapter.order_file(allocated))[0]["eye_offset"] == 52.5


def test_a_marked_cheek_goes_out_and_an_unmarked_one_does_not(allocated: Any) -> None:
    assert "mark" not in items_of(adapter.order_file(allocated))[0]
    Piece.objects.update(mark="face_left")
    assert items_of(adapter.order_file(allocated))[0]["mark"] == "face_left"


@pytest.mark.parametrize(
    ("head_g", "web", "base_pad"),
    [("999", 25, 25), ("1000", 25, 25), ("1001", 40, 37), ("3000", 40, 37), ("3001", 50, 50)],
)
def test_web_wall_and_base_pad_follow_the_heaviest_head(forge: Shop, head_g: Any, web: Any, base_pad: Any) -> None:
    rules = adapter.rules_for(forge, Decimal(head_g))
    assert (rules["web"], rules["wall"], rules["base_pad"]) == (web, web, base_pad)


@pytest.mark.parametrize(
    ("rule", "value"),
    [
        ("sharp_wall", 60),
        ("stiff_sheet", 6),
        ("layer_spare", 3),
        ("max_interior", [900, 400, 300]),
        ("max_layer_g", 6000),
        ("max_gross_g", 15000),
    ],
)
def test_a_rule_that_the_shop_switches_on_goes_out_and_one_that_is_off_does_not(
    forge: Shop, rule: Any, value: Any
) -> None:
    forge.plan_rules.pop(rule, None)
    assert rule not in adapter.rules_for(forge, Decimal(900))
    forge.plan_rules[rule] = value
    assert adapter.rules_for(forge, Decimal(900))[rule] == value


def test_the_measured_head_weight_comes_before_the_products_nominal_one(allocated: Any) -> None:
    Piece.objects.update(head_weight_g=Decimal("1180"))
    assert instance(dict, adapter.order_file(allocated).content["rules"])["web"] == 40


def test_rules_that_someone_broke_in_the_database_are_refused_by_name(allocated: Any) -> None:
    Shop.objects.update(plan_rules={"by_head": []})
    allocated.shop.refresh_from_db()
    with pytest.raises(adapter.BadInput, match=r"plan_rules\.by_head: must be a list of at least one band"):
        adapter.order_file(allocated)


def test_a_mallet_with_a_steel_head_is_judged_as_a_hammer(series: Any) -> None:
    product = make_product(series, "ML090", form="mallet")
    assert adapter.tool_content("x", product.pattern, {})["form"] == "mallet"
    product.pattern.head_material = "steel"
    assert adapter.tool_content("x", product.pattern, {})["form"] == "hammer"


def test_a_rule_that_a_shops_bands_do_not_know_yet_has_its_default(allocated: Any) -> None:
    """So it is for every shop on the day that a new rule goes by the heaviest head."""
    rules = allocated.shop.plan_rules
    Shop.objects.update(plan_rules={**rules, "by_head": [{"to_g": None, "wall": 31}]})
    written = instance(dict, adapter.order_file(Order.objects.get(pk=allocated.pk)).content["rules"])
    assert written["wall"] == 31
    assert written["web"] == Rules().web_um / 1000


def test_blocks_ride_along_each_under_its_own_name(allocated: Any, wax: Block) -> None:
    OrderLine.objects.create(order=allocated, block=wax, quantity=2)
    file = adapter.order_file(allocated)
    assert [item["id"] for item in items_of(file)] == ["CH125-007", "wax", "wax 2"]
    assert file.item_sources["wax 2"].pk == wax.pk
    assert items_of(file)[1]["upright"] is True


def test_the_file_remembers_which_row_each_item_was(allocated: Any, piece: Piece) -> None:
    row = adapter.order_file(allocated).item_sources["CH125-007"]
    assert (row.kind, row.pk, row.number, row.name) == ("piece", piece.pk, 7, "CH125")


def test_an_order_without_all_its_pieces_is_not_ready(line: OrderLine) -> None:
    with pytest.raises(adapter.NotReady, match="“CH125 CH125” wants 1 piece and has 0"):
        adapter.order_file(line.order)


def test_a_piece_that_its_line_no_longer_wants_is_never_packed(
    allocated: Any, line: OrderLine, other_product: Any
) -> None:
    line.product = other_product
    line.save()
    with pytest.raises(adapter.NotReady, match="“1 × SP080 SP080” does not want CH125-007: put it back"):
        adapter.order_file(allocated)


def test_a_piece_too_many_after_the_quantity_was_lowered_is_never_packed(
    allocated: Any, line: OrderLine, product: Product
) -> None:
    OrderLine.objects.update(quantity=2)
    line.refresh_from_db()
    allocation.allocate(allocated, [(line, make_piece(product, 8))])
    OrderLine.objects.update(quantity=1)
    with pytest.raises(adapter.NotReady, match="does not want CH125-008"):
        adapter.order_file(allocated)


def test_a_set_that_became_matched_with_two_numbers_in_it_is_never_packed(
    order: Order, pair: Any, product: Product, other_product: Any
) -> None:
    line = OrderLine.objects.create(order=order, product_set=pair)
    allocation.allocate(order, [(line, make_piece(product, 3)), (line, make_piece(other_product, 4))])
    OrderLine.objects.update(matched=True)
    with pytest.raises(adapter.NotReady, match="“Pair” is to match and holds the numbers 3, 4"):
        adapter.order_file(order)


def test_an_order_with_a_piece_not_weighed_is_not_ready(allocated: Any) -> None:
    Piece.objects.update(weight_g=None)
    with pytest.raises(adapter.NotReady, match="CH125-007 has not been measured and weighed"):
        adapter.order_file(allocated)


def test_an_order_without_lines_is_not_ready(order: Order) -> None:
    with pytest.raises(adapter.NotReady, match="has no lines"):
        adapter.order_file(order)


def test_the_hash_follows_measures_rules_and_foam_and_nothing_else(allocated: Any, product: Product) -> None:
    first = adapter.order_file(allocated).input_hash
    make_piece(product, 99)
    assert adapter.order_file(allocated).input_hash == first
    allocated.shop.foam_density_kg_m3 = Decimal("33")
    second = adapter.order_file(allocated).input_hash
    Piece.objects.filter(number=7).update(handle_length=Decimal("251"))
    assert len({first, second, adapter.order_file(allocated).input_hash}) == 3


def test_a_plan_is_current_until_the_order_changes(allocated: Any) -> None:
    file = adapter.order_file(allocated)
    assert not adapter.is_current(allocated)
    plan = BoxPlan.objects.create(
        order=allocated, content={}, order_content={}, rules={}, code_version="0", input_hash=file.input_hash
    )
    keep(allocated, plan)
    assert adapter.is_current(allocated)
    Piece.objects.update(handle_length=Decimal("251"))
    assert not adapter.is_current(allocated)


def test_one_piece_is_planned_and_the_checker_finds_nothing(allocated: Any) -> None:
    file, plan = plan_of(allocated)
    assert plan["status"] == "planned"
    assert plan["insert"]["density_kg_m3"] == 27
    assert adapter.problems(file.content, plan) == []


def test_the_checker_names_what_is_wrong_with_a_plan(allocated: Any) -> None:
    file, plan = plan_of(allocated)
    plan["interior_mm"][0] -= 1
    assert adapter.problems(file.content, plan)


def test_a_board_that_is_not_known_is_refused(allocated: Any) -> None:
    allocated.shop.board = "tin"
    with pytest.raises(adapter.BadInput, match=r"board: must be one of .*42-26C-42 single wall, .*, not tin"):
        plan_of(allocated)


def test_the_shops_cartons_go_in_with_their_inner_sizes(forge: Shop) -> None:
    from shop.adapter.materials import materials_of

    sizes = {"length": Decimal("600.5"), "width": Decimal(200), "height": Decimal(150)}
    carton = Carton(shop=forge, name="Long", price=Decimal("2.1"), **sizes)
    [taken] = materials_of(adapter.stock_of(forge), [carton]).cartons
    assert taken.inner_um == (600_500, 200_000, 150_000)
    assert taken.price == "2.10 EUR"


def test_a_pattern_gives_its_pieces_their_outline_and_without_measures_none(allocated: Any, product: Product) -> None:
    before = adapter.order_file(allocated)
    assert all("outline" not in item for item in items_of(before))
    product.pattern.peen, product.pattern.taper = Decimal(25), Decimal(60)
    product.pattern.save()
    after = adapter.order_file(allocated)
    (item,) = items_of(after)
    assert item["outline"].keys() == {"head"}
    edge = [x for x, y in item["outline"]["head"] if y == item["head_length"]]
    assert max(edge) - min(edge) == pytest.approx(0.25 * item["head_height"])
    assert after.input_hash != before.input_hash
    product.pattern.peen = product.pattern.taper = None
    product.pattern.save()
    assert adapter.order_file(allocated).input_hash == before.input_hash


def test_a_plan_of_pieces_with_an_outline_has_pockets_that_follow_it(allocated: Any, product: Product) -> None:
    product.pattern.peen, product.pattern.taper, product.pattern.neck = Decimal(25), Decimal(60), Decimal(75)
    # On its cheek: a tool that stands on its face is in a rectangle.
    product.pattern.may_stand = False
    product.pattern.save()
    file, content = plan_of(allocated)
    cut = {p["part"]: p for sheet in content["insert"]["sheets"] for p in sheet["pockets"] if "outline" in p}
    assert cut.keys() == {"head", "handle"}
    assert adapter.problems(file.content, content) == []


def test_a_measure_that_a_form_has_not_gives_no_outline(allocated: Any, product: Product) -> None:
    product.pattern.beard = Decimal(40)
    product.pattern.save()
    assert "outline" not in items_of(adapter.order_file(allocated))[0]


def test_a_traced_pattern_is_scaled_to_its_piece(allocated: Any, product: Product) -> None:
    square = {"head": [[0, 0], [10000, 0], [10000, 6000], [7000, 10000], [3000, 10000], [0, 6000]], "handle": []}
    product.pattern.traced = square
    product.pattern.save()
    (item,) = items_of(adapter.order_file(allocated))
    edge = sorted(x for x, y in item["outline"]["head"] if y == item["head_length"])
    assert edge == [pytest.approx(share * item["head_height"], abs=0.01) for share in (0.3, 0.7)]
