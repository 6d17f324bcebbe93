"""A request to pack: its two ends, what they rest on, and the key of its answer."""

from decimal import Decimal
from typing import Any

import pytest

from packing.measure import Tool, fill_ratio
from shop import adapter
from shop.adapter.spread import USUAL_SCATTER
from shop.models import MEASURES, Block, Piece, Product, Shop
from tests.shop.conftest import HAMMER_MM, make_piece, make_product

LENGTHS = [f"{name}_um" for name in MEASURES]


def orders_of(forge: Any, *products: Any, **more: Any) -> Any:
    return adapter.pack_orders(adapter.PackRequest(forge, "SE", products=tuple(products), **more))


def sizes(item: Any) -> Any:
    return [getattr(item, name) for name in (*LENGTHS, "weight_mg")]


def test_a_product_with_pieces_on_the_rack_spans_the_least_and_the_most_of_them(forge: Shop, product: Product) -> None:
    for number, (length, weight) in enumerate([("104", "1450"), ("107", "1430"), ("105", "1440")], 1):
        make_piece(product, number, head_length=Decimal(length), weight_g=Decimal(weight))
    orders = orders_of(forge, product)
    (least,), (most,) = orders.least.items, orders.most.items
    assert (least.head_length_um, most.head_length_um) == (104_000, 107_000)
    assert (least.weight_mg, most.weight_mg) == (1_430_000, 1_450_000)
    assert orders.grounds == (adapter.Ground.RACK,)
    assert not orders.firm


def test_of_two_wanted_the_second_is_the_second_least_and_most(forge: Shop, product: Product) -> None:
    for number, weight in enumerate(("1400", "1440", "1500"), 1):
        make_piece(product, number, weight_g=Decimal(weight))
    orders = orders_of(forge, product, product)
    assert sorted(item.weight_mg for item in orders.least.items) == [1_400_000, 1_440_000]
    assert sorted(item.weight_mg for item in orders.most.items) == [1_440_000, 1_500_000]


def test_every_choice_from_the_rack_lies_between_the_ends(forge: Shop, product: Product) -> None:
    for number in range(1, 6):
        shift = Decimal((number * 7) % 5)
        make_piece(product, number, **{name: HAMMER_MM[name] + shift for name in MEASURES}, weight_g=1440 + 9 * shift)
    low, high = (sizes(orders_of(forge, product).least.items[0]), sizes(orders_of(forge, product).most.items[0]))
    for piece in Piece.objects.all():
        own = sizes(orders_of(forge, pieces=(piece,)).least.items[0])
        assert all(a <= b <= c for a, b, c in zip(low, own, high, strict=True))


def test_a_chosen_piece_is_firm_and_on_the_rack_for_nobody_else(forge: Shop, product: Product) -> None:
    first, second = make_piece(product, 1, weight_g=Decimal(1400)), make_piece(product, 2)
    assert orders_of(forge, pieces=(first, second)).firm
    (item,) = [one for one in orders_of(forge, product, pieces=(first,)).least.items if one.weight_mg != 1_400_000]
    assert item.weight_mg == 1_440_000


def test_a_product_without_pieces_spans_its_targets_by_the_usual_scatter(forge: Shop, product: Product) -> None:
    for name in MEASURES:
        setattr(product, f"target_{name}_mm", HAMMER_MM[name])
    product.target_weight_g = Decimal(1440)
    product.save()
    orders = orders_of(forge, product)
    assert (orders.grounds, orders.own_scatter) == ((adapter.Ground.TARGET,), False)
    least, most = orders.least.items[0], orders.most.items[0]
    assert most.head_length_um - least.head_length_um == 4 * USUAL_SCATTER.head_length * 1000
    assert most.weight_mg - least.weight_mg == 4 * USUAL_SCATTER.weight_g * 1000


def test_without_targets_the_middle_of_what_was_made_stands_for_them(forge: Shop, product: Product) -> None:
    for number, weight in enumerate(("1400", "1440", "1500"), 1):
        make_piece(product, number, weight_g=Decimal(weight), state="sent")
    orders = orders_of(forge, product)
    assert orders.grounds == (adapter.Ground.MADE_BEFORE,)
    assert (orders.least.items[0].weight_mg + orders.most.items[0].weight_mg) / 2 == 1_440_000


def test_the_scatter_is_the_shops_own_once_enough_is_measured(forge: Shop, series: Any, product: Product) -> None:
    # Weights 1, 2 … 6 off a middle: their variance is that of the whole numbers, (6² + 6) / 12 = 3.5 (derived).
    for number in range(1, 7):
        make_piece(product, number, weight_g=Decimal(1440 + number), state="sent")
    orders = orders_of(forge, product)
    assert orders.own_scatter
    width = orders.most.items[0].weight_mg - orders.least.items[0].weight_mg
    assert abs(width - 4 * 3.5**0.5 * 1000) <= 2


def test_what_is_not_on_the_rack_is_added_as_it_is_made(forge: Shop, product: Product) -> None:
    make_piece(product, 1)
    grounds = orders_of(forge, product, product).grounds
    assert grounds == (adapter.Ground.RACK, adapter.Ground.MADE_BEFORE)


def test_a_product_without_any_measures_is_refused_by_name(forge: Shop, product: Product) -> None:
    with pytest.raises(adapter.NotReady, match="CH125 CH125 has no measures"):
        orders_of(forge, product)


def test_a_chosen_piece_that_is_not_measured_is_refused_by_name(forge: Shop, product: Product) -> None:
    piece = make_piece(product, 3, weight_g=None)
    with pytest.raises(adapter.NotReady, match="CH125-003 has not been measured"):
        orders_of(forge, pieces=(piece,))


def test_the_least_measures_of_several_pieces_never_hold_more_than_their_steel(forge: Shop, product: Product) -> None:
    # Each of the three fills 0.98 of its box; the least of each measure alone would be too small for the weight.
    for number, short in enumerate(("head_length", "head_height", "head_width"), 1):
        make_piece(product, number, **{**HAMMER_MM, short: HAMMER_MM[short] * Decimal("0.9")}, weight_g=Decimal(1300))
    (least,) = orders_of(forge, product).least.items
    assert isinstance(least, Tool)
    assert fill_ratio(least) <= Decimal("1.00001")


def test_heavier_heads_at_the_most_end_ask_for_its_rules(forge: Shop, product: Product) -> None:
    make_piece(product, 1, head_weight_g=Decimal(990))
    make_piece(product, 2, head_weight_g=Decimal(1010))
    orders = orders_of(forge, product)
    assert (orders.least.rules.web_um, orders.most.rules.web_um) == (25_000, 40_000)


def test_the_key_does_not_depend_on_the_order_of_asking_or_on_names(
    forge: Shop, series: Any, product: Product, other_product: Product, wax: Block
) -> None:
    make_piece(product, 1)
    make_piece(other_product, 1, head_length=Decimal(90))
    key = adapter.answer_key(forge, orders_of(forge, product, other_product, blocks=(wax,)))
    assert adapter.answer_key(forge, orders_of(forge, other_product, product, blocks=(wax,))) == key
    Block.objects.update(name="beeswax")
    assert adapter.answer_key(forge, orders_of(forge, product, other_product, blocks=(Block.objects.get(),))) == key


def test_the_key_is_another_once_a_piece_a_rule_or_a_row_changes(forge: Shop, product: Product) -> None:
    make_piece(product, 1)
    keys = [adapter.answer_key(forge, orders_of(forge, product))]
    make_piece(product, 2, weight_g=Decimal(1460))
    keys.append(adapter.answer_key(forge, orders_of(forge, product)))
    forge.foam_density_kg_m3 = Decimal(30)
    forge.save()
    keys.append(adapter.answer_key(forge, orders_of(forge, product)))
    forge.plan_rules = {**forge.plan_rules, "clearance": 2}
    forge.save()
    keys.append(adapter.answer_key(forge, orders_of(forge, product)))
    assert len(set(keys)) == 4


def test_both_ends_of_an_answer_pass_the_checker_and_the_most_is_the_heavier(stocked: Shop, series: Any) -> None:
    product = make_product(stocked and series, "CP080", head_g="800")
    make_piece(product, 1, weight_g=Decimal(1400))
    make_piece(product, 2, weight_g=Decimal(1500), handle_length=Decimal(270))
    (parcel,) = adapter.plan_answer(stocked, orders_of(stocked, product), seconds=0.2).parcels
    assert parcel.least.gross_mg < parcel.most.gross_mg
    assert max(parcel.least.outer_um) < max(parcel.most.outer_um)
    assert adapter.read_answer(adapter.answer_content(adapter.Answer((parcel,)))).parcels == (parcel,)


def test_what_is_too_heavy_for_one_parcel_goes_in_two_of_like_weight_below_the_limit(
    stocked: Shop, product: Product
) -> None:
    stocked.plan_rules = {**stocked.plan_rules, "max_gross_g": 5000}
    stocked.save()
    make_piece(product, 1)
    first, second = adapter.plan_answer(stocked, orders_of(stocked, *[product] * 4), seconds=0.2).parcels
    assert sorted((*first.items, *second.items)) == [0, 1, 2, 3]
    assert len(first.items) == len(second.items) == 2
    assert max(end.gross_mg for one in (first, second) for end in (one.least, one.most)) <= 5_000_000


def test_one_piece_that_is_too_heavy_for_any_parcel_is_refused(stocked: Shop, product: Product) -> None:
    stocked.plan_rules = {**stocked.plan_rules, "max_gross_g": 1300}
    stocked.save()
    make_piece(product, 1)
    with pytest.raises(adapter.NoAnswer, match="One piece alone is too heavy"):
        adapter.plan_answer(stocked, orders_of(stocked, product, product), seconds=0.2)


def test_the_pieces_of_a_set_are_named_as_staying_together(forge: Shop, product: Product, other_product: Any) -> None:
    make_piece(product, 1)
    make_piece(other_product, 1, head_length=Decimal(90))
    pair = (product, other_product)
    orders = orders_of(forge, *pair, *pair, sets=(pair, pair))
    named = [sorted(orders.names[place] for place in places) for places in orders.together]
    assert named == [["CH125", "SP080"]] * 2
    assert len({place for places in orders.together for place in places}) == 4
