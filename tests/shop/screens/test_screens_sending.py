"""Packing by number, the weigh-in, sending: the wrong number cannot go to the wrong person."""

import json
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop import adapter
from shop.models import Customer, Order, OrderLine, Piece, Product, Shop
from shop.services import allocation, dispatch
from tests.helpers import instance, present
from tests.shop.conftest import make_piece
from tests.shop.planned import act, only_plan, store_one
from tests.shop.screens.conftest import plan_for


def letter_of(order: Any, label: Any) -> Any:
    return next(item["letter"] for item in only_plan(order).content["items"] if item["id"] == label)


def typed(order: Any, **numbers: Any) -> Any:
    """What a careful packer types; numbers by label change it."""
    filled = {"plan": str(only_plan(order).pk), "slip": "on"}
    for item in only_plan(order).content["items"]:
        row = only_plan(order).item_sources[item["id"]]
        right = str(row["number"]) if row["kind"] == "piece" else "on"
        filled[f"item-{item['letter']}"] = numbers.get(item["id"].replace("-", "_"), right)
    return filled


def pack(client: Any, order: Any, **numbers: Any) -> Any:
    return client.post(reverse("pack", args=[17, 1]), typed(order, **numbers), follow=True)


def post(client: Any, filled: Any) -> Any:
    return client.post(reverse("pack", args=[17, 1]), filled, follow=True).content.decode()


@pytest.fixture
def bench(log_in: Any) -> Any:
    return log_in("packer")


def test_an_order_is_packed_once_every_number_is_right(bench: Client, planned: Any) -> None:
    assert "Every number is right: order 17 is packed." in pack(bench, planned).content.decode()
    planned.refresh_from_db()
    assert planned.state == "packed"


def test_a_number_for_someone_else_is_refused_with_whose_it_is(
    bench: Client, planned: Any, product: Product, customer: Customer
) -> None:
    elsewhere = Order.objects.create(customer=customer, number=18)
    line = OrderLine.objects.create(order=elsewhere, product=product)
    allocation.allocate(elsewhere, [(line, make_piece(product, 9))])
    answer = pack(bench, planned, CH125_007="9")
    assert answer.status_code == 400
    assert (
        "CH125 number 9 is not for this box. CH125-009 is held for order 18, A. Carpenter." in answer.content.decode()
    )
    planned.refresh_from_db()
    assert planned.state == "planned"


@pytest.mark.parametrize("scanned", ["CH125-007", "ch125 7", "007", "CH125/7"])
def test_code_and_number_are_read_as_scanned_or_typed(bench: Client, planned: Any, scanned: Any) -> None:
    assert "Every number is right: order 17 is packed." in pack(bench, planned, CH125_007=scanned).content.decode()


def test_a_tool_of_another_product_is_refused_with_both_numbers_and_products(
    bench: Client, planned: Any, other_product: Any, customer: Customer
) -> None:
    elsewhere = Order.objects.create(customer=customer, number=18)
    line = OrderLine.objects.create(order=elsewhere, product=other_product)
    allocation.allocate(elsewhere, [(line, make_piece(other_product, 7))])
    page = pack(bench, planned, CH125_007="SP080-007").content.decode()
    assert (
        "SP080-007 is SP080 SP080; this pocket is for CH125-007, CH125 CH125. "
        "SP080-007 is held for order 18, A. Carpenter." in page
    )
    planned.refresh_from_db()
    assert planned.state == "planned"


def test_a_code_of_no_product_is_refused_with_what_the_pocket_is_for(bench: Client, planned: Any) -> None:
    page = pack(bench, planned, CH125_007="CH152-007").content.decode()
    assert "CH152-007 is of no product here; this pocket is for CH125-007, CH125 CH125." in page


@pytest.fixture
def matched(planned: Any, other_product: Any) -> Any:
    """Order 17 with CH125-007 and SP080-007 in one box."""
    line = OrderLine.objects.create(order=planned, product=other_product)
    allocation.allocate(planned, [(line, make_piece(other_product, 7))])
    plan_for(planned)
    return planned


def test_two_products_of_one_number_in_each_others_pockets_are_told_where_they_go(bench: Client, matched: Any) -> None:
    page = pack(bench, matched, CH125_007="SP080-007").content.decode()
    assert f"SP080-007 goes into pocket {letter_of(matched, 'SP080-007')}." in page


def test_code_and_number_are_asked_for_where_a_number_is_in_the_box_twice(
    bench: Client, planned: Any, other_product: Any
) -> None:
    told = "Several tools of this box bear the same number"
    assert told not in bench.get("/orders/17/").content.decode()
    line = OrderLine.objects.create(order=planned, product=other_product)
    allocation.allocate(planned, [(line, make_piece(other_product, 7))])
    plan_for(planned)
    assert told in bench.get("/orders/17/").content.decode()


def test_a_number_that_several_tools_bear_proves_nothing_without_its_code(bench: Client, matched: Any) -> None:
    page = pack(bench, matched).content.decode()
    assert "Several tools of this box bear number 7: type or scan the code on this tool as well" in page
    matched.refresh_from_db()
    assert matched.state == "planned"
    page = pack(bench, matched, CH125_007="CH125-007", SP080_007="sp080 7").content.decode()
    assert "Every number is right: order 17 is packed." in page


def test_a_number_of_another_product_of_the_box_is_told_where_that_goes(
    bench: Client, planned: Any, other_product: Any
) -> None:
    line = OrderLine.objects.create(order=planned, product=other_product)
    allocation.allocate(planned, [(line, make_piece(other_product, 9))])
    plan_for(planned)
    page = pack(bench, planned, CH125_007="9").content.decode()
    assert "CH125 number 9 is not for this box. There is no such number on record." in page
    assert f"SP080-009 goes into pocket {letter_of(planned, 'SP080-009')}." in page


def test_a_number_nobody_has_stamped_is_refused(bench: Client, planned: Any) -> None:
    assert "There is no such number on record." in pack(bench, planned, CH125_007="55").content.decode()


def test_two_numbers_in_each_others_pockets_are_told_where_they_go(
    bench: Client, planned: Any, line: OrderLine, product: Product
) -> None:
    OrderLine.objects.filter(pk=line.pk).update(quantity=2)
    line.refresh_from_db()
    allocation.allocate(planned, [(line, make_piece(product, 8))])
    plan_for(planned)
    answer = pack(bench, planned, CH125_007="8", CH125_008="7").content.decode()
    assert f"CH125 number 8 goes into pocket {letter_of(planned, 'CH125-008')}, not here." in answer
    assert f"CH125 number 7 goes into pocket {letter_of(planned, 'CH125-007')}, not here." in answer


def test_a_number_left_out_is_asked_for(bench: Client, planned: Any) -> None:
    assert "Type the number stamped on the tool" in pack(bench, planned, CH125_007="").content.decode()


def test_a_block_left_out_is_asked_for(bench: Client, planned: Any) -> None:
    assert "Tick wax once it is in the box." in pack(bench, planned, wax="").content.decode()


def test_the_packing_slip_is_looked_at(bench: Client, planned: Any) -> None:
    filled = typed(planned)
    del filled["slip"]
    assert "Look at the packing slip" in post(bench, filled)
    planned.refresh_from_db()
    assert planned.state == "planned"


def test_the_slip_to_look_for_is_named_as_it_is_printed(bench: Client, planned: Any) -> None:
    label = f"says order 17, A. Carpenter, plan {only_plan(planned).content_hash[:8]}"
    assert label in bench.get("/orders/17/").content.decode()


def test_a_page_of_an_earlier_plan_packs_nothing(bench: Client, planned: Any) -> None:
    filled = typed(planned)
    plan_for(planned)
    page = post(bench, filled)
    assert "was planned again since this page was opened" in page
    assert "checked" not in page[page.index('name="slip"') :][:60]
    planned.refresh_from_db()
    assert planned.state == "planned"


def test_what_was_typed_is_kept(bench: Client, planned: Any) -> None:
    assert 'value="55"' in pack(bench, planned, CH125_007="55").content.decode()


def test_the_numbers_wanted_are_not_given_away_in_the_fields(bench: Client, planned: Any) -> None:
    page = bench.get("/orders/17/").content.decode()
    packing = re.sub(r"<svg.*?</svg>", "", page[page.index('<ol class="packing">') : page.index("All numbers typed")])
    assert "CH125" in packing
    assert "7" not in packing


def test_each_pocket_says_what_the_tool_for_it_weighs(bench: Client, planned: Any) -> None:
    page = bench.get("/orders/17/").content.decode()
    packing = page[page.index('<ol class="packing">') : page.index("All numbers typed")]
    assert '<span class="soft">1440\u00a0g</span>' in packing


def test_a_changed_order_is_not_packed_by_its_old_plan(bench: Client, planned: Any) -> None:
    Piece.objects.update(handle_length=260)
    assert "plan it again" in pack(bench, planned).content.decode()
    planned.refresh_from_db()
    assert planned.state == "planned"


def test_an_order_without_a_plan_is_not_packed(bench: Client, ready: Order) -> None:
    assert "has no box plan yet" in bench.post(reverse("pack", args=[17, 1]), follow=True).content.decode()


def weigh(client: Any, text: Any, **more: Any) -> Any:
    data = {"weighed": text, "weight_unit": "g", **more}
    return client.post(reverse("weigh-in", args=[17, 1]), data, follow=True)


def gross_g(order: Order) -> float:
    """The gross weight that the order's plan says."""
    return instance(float, present(only_plan(order)).content["weight"]["gross_g"])


def test_a_weigh_in_within_the_tolerance_is_recorded(bench: Client, packed: Order) -> None:
    gross = gross_g(packed)
    assert f"The weigh-in is recorded: {gross + 1:.0f}\u00a0g." in weigh(bench, f"{gross + 1:.0f}").content.decode()
    assert present(packed.parcels.get().weighed_by).username == "packer"


@pytest.mark.parametrize(("off", "sentence"), [(900, "more than planned"), (-900, "less than planned")])
def test_a_weigh_in_out_of_tolerance_waits_for_a_look_into_the_box(
    bench: Client, packed: Order, off: Any, sentence: Any
) -> None:
    gross = gross_g(packed)
    answer = weigh(bench, f"{gross + off:.0f}")
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    assert packed.parcels.get().weighed_g is None
    weigh(bench, f"{gross + off:.0f}", confirmed="on", why="looked into it")
    assert packed.parcels.get().weighed_g is not None


def test_a_weigh_in_is_read_in_pounds_and_ounces(bench: Client, packed: Order) -> None:
    gross = gross_g(packed)
    assert "recorded" in weigh(bench, f"{gross / 453.59237:.3f}", weight_unit="lb").content.decode()


def test_a_refused_weigh_in_takes_back_the_one_before_so_that_the_box_does_not_leave(
    bench: Client, packed: Order
) -> None:
    gross = gross_g(packed)
    weigh(bench, f"{gross:.0f}")
    page = weigh(bench, f"{gross - 900:.0f}").content.decode()
    assert "something may be missing" in page
    assert packed.parcels.get().weighed_g is None
    assert reverse("send-parcel", args=[17, 1]) not in page
    answer = bench.post(reverse("send-parcel", args=[17, 1]), follow=True).content.decode()
    assert "Weigh the closed box of order 17 first." in answer


def test_a_slip_of_the_keyboard_takes_nothing_back(bench: Client, packed: Order) -> None:
    weigh(bench, f"{gross_g(packed):.0f}")
    weigh(bench, "heavy")
    assert packed.parcels.get().weighed_g is not None


@pytest.mark.parametrize(
    ("factor", "units"),
    [
        (453.59237, "pounds and grams"),
        (1 / 453.59237, "pounds and grams"),
        (28.35, "ounces and grams"),
        (1 / 2.2046, "kilograms and pounds"),
        (2.2046, "kilograms and pounds"),
    ],
)
def test_a_reading_that_would_fit_in_another_unit_is_asked_about(
    bench: Client, packed: Order, factor: Any, units: Any
) -> None:
    gross = gross_g(packed)
    page = weigh(bench, f"{gross * factor:.3f}").content.decode()
    assert f"The scale may show another unit: between {units} it would fit." in page
    assert packed.parcels.get().weighed_g is None


def test_a_reading_that_fits_no_unit_says_nothing_of_units(bench: Client, packed: Order) -> None:
    gross = gross_g(packed)
    assert "another unit" not in weigh(bench, f"{gross * 1.5:.0f}").content.decode()


@pytest.fixture
def wide(ready: Order) -> Any:
    """Order 17 in a box of wood that may be 400 g off: more than half of its one hammer."""
    plan_for(ready)
    content = json.loads(json.dumps(ready.plans.get().content))
    weight = content["weight"]
    for row in weight["tolerance"]:
        row["sd_g"] = 400 if row["source"] == "board" else row["sd_g"]
    weight["tolerance_g"] = 1041
    store_one(ready, adapter.order_file(ready), adapter.read_plan(content))
    ready.refresh_from_db()
    return ready


def weigh_empty(client: Any, text: Any, **more: Any) -> Any:
    data = {"empty-weighed": text, "empty-weight_unit": "g", **more}
    return client.post(reverse("weigh-empty", args=[17, 1]), data, follow=True).content.decode()


def empty_of(order: Any) -> Any:
    return adapter.plan_of(only_plan(order)).weight.empty_mg / 1000


def test_a_box_whose_weight_is_too_unsure_asks_for_the_empty_one(bench: Client, wide: Any) -> None:
    assert "Weigh the empty box with its insert, lid and screws once" in bench.get("/orders/17/").content.decode()


def test_a_box_that_is_sure_enough_asks_for_nothing(bench: Client, planned: Any) -> None:
    assert "the scale alone does not show" not in bench.get("/orders/17/").content.decode()


def test_the_weigh_in_of_an_unsure_box_waits_for_a_look_into_it(bench: Client, wide: Any) -> None:
    act(dispatch.pack, wide)
    gross = only_plan(wide).content["weight"]["gross_g"]
    assert "more than half of its lightest piece" in weigh(bench, f"{gross:.0f}").content.decode()
    assert wide.parcels.get(plan=only_plan(wide)).weighed_g is None


def test_once_the_empty_box_is_weighed_a_missing_piece_is_noticed(bench: Client, wide: Any) -> None:
    empty = empty_of(wide) + 300
    assert f"The empty box weighs {empty:.0f}" in weigh_empty(bench, f"{empty:.3f}")
    act(dispatch.pack, wide)
    gross = only_plan(wide).content["weight"]["gross_g"] + 300
    assert "something may be missing" in weigh(bench, f"{gross - 100:.0f}").content.decode()
    assert "The weigh-in is recorded" in weigh(bench, f"{gross + 3:.0f}").content.decode()


def test_an_empty_box_with_a_piece_in_it_is_asked_about(bench: Client, planned: Any) -> None:
    assert "is a piece in the box already?" in weigh_empty(bench, f"{empty_of(planned) + 1440:.0f}")
    assert planned.parcels.get().empty_g is None
    weigh_empty(bench, f"{empty_of(planned) + 1440:.0f}", **{"empty-confirmed": "on"})
    assert planned.parcels.get().empty_g is not None


def test_a_closed_box_is_not_weighed_empty(bench: Client, packed: Order) -> None:
    assert "has no empty box to weigh" in weigh_empty(bench, "400")


@pytest.mark.parametrize("text", ["", "heavy", "-5", "0", "12 stone"])
def test_a_weigh_in_that_is_no_weight_is_refused_and_kept(bench: Client, packed: Order, text: Any) -> None:
    answer = weigh(bench, text)
    assert answer.status_code == 400
    assert packed.parcels.get().weighed_g is None
    assert f'value="{text}"' in answer.content.decode() or not text


def test_an_order_that_is_not_packed_is_not_weighed(bench: Client, planned: Any) -> None:
    assert "there is nothing to weigh" in weigh(bench, "2000").content.decode()


def test_billed_weight_follows_the_weigh_in(bench: Client, packed: Order, forge: Shop) -> None:
    from shop.models import RateRule

    RateRule.objects.create(
        shop=forge, carrier="Post", service="road", valid_from="2020-01-01", system="cm/kg", weight_step="0.001"
    )
    weigh(bench, "9000", confirmed="on", why="looked into it")
    page = bench.get("/orders/17/").content.decode()
    assert "Worked out from the weigh-in." in page
    assert "<strong>9 kg</strong>" in page


def test_a_packed_order_is_sent_with_its_pieces(bench: Client, packed: Order) -> None:
    weigh(bench, "2000", confirmed="on", why="looked into it")
    assert "Order 17 is sent." in bench.post(reverse("send-parcel", args=[17, 1]), follow=True).content.decode()
    assert Piece.objects.get(number=7).state == "sent"


def test_sending_is_asked_about_and_changes_nothing_yet(bench: Client, packed: Order) -> None:
    weigh(bench, "2000", confirmed="on", why="looked into it")
    page = bench.get(reverse("send-parcel", args=[17, 1])).content.decode()
    for told in ("Has order 17 left?", "A. Carpenter", "CH125-007", "1 × wax", "Weighed in at", "this is final"):
        assert told in page
    packed.refresh_from_db()
    assert packed.state == "packed"


def test_sending_is_not_asked_about_before_the_weigh_in(bench: Client, packed: Order) -> None:
    answer = bench.get(reverse("send-parcel", args=[17, 1]), follow=True)
    assert "Weigh the closed box of order 17 first." in answer.content.decode()


@pytest.fixture
def sent(packed: Order) -> Any:
    packed.parcels.update(weighed_g=2000)
    act(dispatch.send, packed)
    return packed


def test_a_sent_is_taken_back_by_an_owner_with_a_reason(at_the_bench: Client, sent: Any) -> None:
    answer = at_the_bench.post(reverse("take-sent-back", args=[17, 1]), {"why": "tapped by mistake"}, follow=True)
    page = answer.content.decode()
    assert "Order 17 is packed, not sent." in page
    assert "“sent” taken back (owner): tapped by mistake" in page


def test_a_sent_taken_back_without_a_reason_is_asked_for_it(at_the_bench: Client, sent: Any) -> None:
    answer = at_the_bench.post(reverse("take-sent-back", args=[17, 1]), {"why": ""})
    assert answer.status_code == 400
    assert "Give the reason: it stays on record." in answer.content.decode()
    sent.refresh_from_db()
    assert sent.state == "sent"


def test_a_packer_is_not_offered_to_take_a_sent_back(bench: Client, sent: Any) -> None:
    assert reverse("take-sent-back", args=[17, 1]) not in bench.get("/orders/17/").content.decode()


def test_the_sent_button_waits_for_the_weigh_in(bench: Client, packed: Order) -> None:
    assert reverse("send-parcel", args=[17, 1]) not in bench.get("/orders/17/").content.decode()
    weigh(bench, "2000", confirmed="on", why="looked into it")
    assert reverse("send-parcel", args=[17, 1]) in bench.get("/orders/17/").content.decode()


def test_a_packed_order_is_opened_again(bench: Client, packed: Order) -> None:
    assert "Order 17 is open again." in bench.post(reverse("unpack", args=[17, 1]), follow=True).content.decode()


def test_an_order_that_is_not_packed_is_not_sent(bench: Client, planned: Any) -> None:
    answer = bench.post(reverse("send-parcel", args=[17, 1]), follow=True)
    assert "cannot be marked sent" in answer.content.decode()


def test_a_cancelled_order_gives_its_pieces_back(at_the_bench: Client, planned: Any, piece: Piece) -> None:
    answer = at_the_bench.post(reverse("cancel-order", args=[17]), follow=True)
    assert "its pieces are back on the rack" in answer.content.decode()
    piece.refresh_from_db()
    assert piece.state == "rack"
