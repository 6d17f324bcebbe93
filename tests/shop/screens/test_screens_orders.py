"""The list of orders, a new order, and the pieces of one order."""

from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponseRedirect
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop import adapter
from shop.models import Allocation, Block, Customer, Order, OrderLine, Piece, Product, ProductSet, RateRule, Shop
from shop.presenters.order_lines import gaps_between, number_runs
from shop.presenters.order_status import order_statuses
from shop.services import allocation
from tests.helpers import instance
from tests.shop.conftest import make_piece
from tests.shop.planned import only_plan, store_one
from tests.shop.screens.conftest import plan_for

NOTHING = {"lines-TOTAL_FORMS": "1", "lines-INITIAL_FORMS": "0", "lines-0-what": "", "lines-0-quantity": "1"}


def next_step(order: Any) -> Any:
    order.refresh_from_db()
    return order_statuses([order])[0].next.text


@pytest.fixture
def asked(product: Product) -> Any:
    """A new order typed for a new customer, one line."""
    return {
        "customer": "",
        "name": "B. Mason",
        "country": "SE",
        **NOTHING,
        "lines-0-what": f"product:{product.pk}",
        "lines-0-quantity": "2",
        "lines-0-unit_price": "145,50",
    }


def test_the_next_thing_to_do_follows_the_order(order: Order, line: OrderLine, piece: Piece) -> None:
    assert next_step(order) == "Choose 1 piece"
    allocation.allocate(order, [(line, piece)])
    assert next_step(order) == "Plan the box"
    plan_for(order)
    assert next_step(order) == "Make the papers"


def test_an_order_without_lines_wants_lines_first(order: Order) -> None:
    assert next_step(order) == "Add what is ordered"


def test_a_piece_held_but_not_measured_is_to_be_measured(order: Order, line: OrderLine, piece: Piece) -> None:
    allocation.allocate(order, [(line, piece)])
    Piece.objects.update(weight_g=None)
    assert next_step(order) == "Measure 1 piece"


def test_a_plan_of_other_pieces_is_to_be_made_again(planned: Any, product: Product) -> None:
    held = Allocation.objects.live().get()
    allocation.release(held)
    allocation.allocate(planned, [(held.line, make_piece(product, 8))])
    assert next_step(planned) == "Plan the box again"


def test_the_list_shows_open_orders_and_on_request_all(at_the_bench: Client, order: Order, customer: Customer) -> None:
    Order.objects.create(customer=customer, number=18, state="sent")
    assert b">18<" not in at_the_bench.get("/").content
    assert b">18<" in at_the_bench.get("/?all=1").content


def test_the_list_shows_box_and_gross_weight_of_a_planned_order(at_the_bench: Client, planned: Any) -> None:
    page = at_the_bench.get("/").content.decode()
    outer = only_plan(planned).content["box"]["outer_mm"]
    assert "\u00a0× ".join(f"{side:g}" for side in outer) in page


def queries_of(client: Any, address: Any) -> Any:
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        client.get(address)
    return len(queries)


def test_the_list_needs_as_many_queries_for_many_orders_as_for_one(
    at_the_bench: Client, planned: Any, customer: Customer, product: Product
) -> None:
    with_one = queries_of(at_the_bench, "/")
    for number in range(20, 30):
        OrderLine.objects.create(order=Order.objects.create(customer=customer, number=number), product=product)
    assert queries_of(at_the_bench, "/") == with_one


def change_shop(**values: Any) -> None:
    """Store other settings of the shop, as its form does."""
    shop = Shop.objects.get()
    for name, value in values.items():
        setattr(shop, name, value)
    shop.save()


@pytest.fixture
def many_planned(planned: Any, forge: Shop, customer: Customer, product: Product, pair: Any, wax: Block) -> Any:
    """The planned order 17 and ten more, one of them a set, all with plans of the very content they hold."""
    RateRule.objects.create(shop=forge, carrier="Post", service="road", valid_from="2020-01-01", system="cm/kg")
    forge.priced_by = RateRule.objects.get()
    forge.save()
    for number in range(20, 30):
        order = Order.objects.create(customer=customer, number=number)
        wanted = {"product_set": pair} if number == 20 else {"product": product}
        line = OrderLine.objects.create(order=order, **wanted)
        pieces = [make_piece(member, number) for member in line.products_wanted()]
        allocation.allocate(order, [(line, piece) for piece in pieces])
        file = adapter.order_file(order)
        store_one(order, file, adapter.plan_of(only_plan(planned)))
    return Order.objects.filter(number__gte=20)


def test_planned_orders_of_every_kind_cost_the_list_the_same_queries(at_the_bench: Client, many_planned: Any) -> None:
    with_all = queries_of(at_the_bench, "/")
    assert all(row.fits for row in order_statuses(list(many_planned)))
    Order.objects.exclude(number__in=(17, 20)).update(state="cancelled")
    assert queries_of(at_the_bench, "/") == with_all


@pytest.mark.parametrize("change", [{"foam_name": "felt"}, {"foam_fit_mm": 1}, {"board": "C flute"}, {"country": "NO"}])
def test_the_list_and_the_order_judge_changed_settings_alike(
    at_the_bench: Client, planned: Any, forge: Shop, change: Any
) -> None:
    page = at_the_bench.get("/").content.decode()
    assert "planned, out of date" not in page
    change_shop(**change)
    for address in ("/", "/orders/17/"):
        page = at_the_bench.get(address).content.decode()
        assert "planned, out of date" in page
        assert "Plan the box again" in page


def test_the_list_sees_changed_planning_rules_and_measures(planned: Any, forge: Shop, piece: Piece) -> None:
    assert order_statuses([planned])[0].fits
    change_shop(plan_rules={**forge.plan_rules, "top_pad": 37})
    assert not order_statuses([Order.objects.get()])[0].fits
    change_shop(plan_rules=forge.plan_rules)
    assert order_statuses([Order.objects.get()])[0].fits
    piece.weight_g = 1400
    piece.save()
    assert not order_statuses([Order.objects.get()])[0].fits


def test_settings_changed_since_do_not_date_what_is_packed(packed: Order) -> None:
    change_shop(foam_name="felt")
    assert order_statuses([Order.objects.get()])[0].fits


def test_an_order_is_opened_for_a_new_customer(at_the_bench: Client, asked: Any, forge: Shop) -> None:
    answer = instance(HttpResponseRedirect, at_the_bench.post(reverse("new-order"), asked))
    order = Order.objects.get()
    assert answer.url == reverse("order", args=[order.number])
    assert (order.customer.name, order.customer.country, order.customer.shop) == ("B. Mason", "SE", forge)
    assert [(str(line.unit_price), line.quantity) for line in order.lines.all()] == [("145.5000", 2)]


def test_an_order_is_opened_for_a_known_customer(at_the_bench: Client, customer: Customer) -> None:
    at_the_bench.post(reverse("new-order"), {"customer": customer.pk, **NOTHING})
    assert Order.objects.get().customer == customer


def test_a_new_customer_needs_a_name_and_a_country(at_the_bench: Client, asked: Any) -> None:
    answer = at_the_bench.post(reverse("new-order"), {**asked, "name": "", "country": ""})
    assert answer.status_code == 400
    assert "Name is needed for a new customer." in answer.content.decode()
    assert "Country is needed for a new customer." in answer.content.decode()


def test_a_customer_is_chosen_or_named_not_both(at_the_bench: Client, asked: Any, customer: Customer) -> None:
    answer = at_the_bench.post(reverse("new-order"), {**asked, "customer": customer.pk})
    assert "Choose a customer or name a new one, not both." in answer.content.decode()


def test_a_refused_order_stores_nothing_and_keeps_what_was_typed(at_the_bench: Client, asked: Any) -> None:
    answer = at_the_bench.post(reverse("new-order"), {**asked, "lines-0-quantity": "none"})
    assert answer.status_code == 400
    assert 'value="B. Mason"' in answer.content.decode()
    assert Order.objects.count() == Customer.objects.count() == 0


def test_a_customer_of_another_shop_cannot_be_ordered_for(at_the_bench: Client, other_forge: Any) -> None:
    there = Customer.objects.create(shop=other_forge, name="Elsewhere", country="SE")
    assert at_the_bench.post(reverse("new-order"), {"customer": there.pk, **NOTHING}).status_code == 400


def test_a_line_is_added_and_taken_off(at_the_bench: Client, order: Order, wax: Block) -> None:
    at_the_bench.post(reverse("add-line", args=[17]), {"line-what": f"block:{wax.pk}", "line-quantity": "3"})
    line = order.lines.get()
    assert (line.block, line.quantity) == (wax, 3)
    at_the_bench.post(reverse("remove-line", args=[17, line.pk]))
    assert not order.lines.exists()


def test_a_set_is_ordered_matched(at_the_bench: Client, order: Order, pair: Any) -> None:
    what = {"line-what": f"set:{pair.pk}", "line-quantity": "1", "line-matched": "on"}
    at_the_bench.post(reverse("add-line", args=[17]), what)
    assert order.lines.get().matched


def test_a_refused_line_is_shown_again_with_the_reason(at_the_bench: Client, order: Order, product: Product) -> None:
    what = {"line-what": f"product:{product.pk}", "line-quantity": "1", "line-matched": "on"}
    answer = at_the_bench.post(reverse("add-line", args=[17]), what)
    assert answer.status_code == 400
    assert "Only a set can be matched" in answer.content.decode()


def test_a_product_of_another_shop_cannot_be_ordered(
    at_the_bench: Client, order: Order, product: Product, other_forge: Any
) -> None:
    elsewhere = {"line-what": "product:999999", "line-quantity": "1"}
    assert at_the_bench.post(reverse("add-line", args=[17]), elsewhere).status_code == 400


def test_a_customer_there_is_already_is_chosen_not_made_again(
    at_the_bench: Client, asked: Any, customer: Customer
) -> None:
    again = {"name": "a. carpenter", "country": "SE", "address": ""}
    page = at_the_bench.post(reverse("new-order"), {**asked, **again}).content.decode()
    assert "is a customer already" in page
    assert Customer.objects.count() == 1


def test_someone_of_the_same_name_at_another_address_is_someone_else(
    at_the_bench: Client, asked: Any, customer: Customer
) -> None:
    again = {"name": "A. Carpenter", "country": "SE", "address": "9 Other Street"}
    assert at_the_bench.post(reverse("new-order"), {**asked, **again}).status_code == 302


@pytest.mark.parametrize("country", ["UK", "zz", "Germany", "Denmark"])
def test_what_is_no_country_of_the_list_is_refused_and_not_cut_to_two_letters(
    at_the_bench: Client, asked: Any, country: Any
) -> None:
    page = at_the_bench.post(reverse("new-order"), {**asked, "country": country}).content.decode()
    assert "choose one by its name" in page[page.index('id="id_country_error"') :]
    assert not Customer.objects.filter(country__in=["GE", "DE"]).exists()


def test_a_country_is_chosen_by_its_name(at_the_bench: Client) -> None:
    page = at_the_bench.get(reverse("new-order")).content.decode()
    assert '<option value="DE">Germany</option>' in page
    assert page.index(">Georgia<") < page.index(">Germany<") < page.index(">Ghana<")


def test_an_order_says_where_it_goes(at_the_bench: Client, order: Order) -> None:
    assert "1 Plane Street, Town, Sweden" in at_the_bench.get("/orders/17/").content.decode()


def test_the_list_sees_a_block_added_since_the_plan(at_the_bench: Client, planned: Any, wax: Block) -> None:
    OrderLine.objects.create(order=planned, block=wax)
    assert next_step(planned) == "Plan the box again"


def test_a_price_that_could_be_thousands_is_asked_about(
    at_the_bench: Client, customer: Customer, product: Product
) -> None:
    lines = {**NOTHING, "lines-0-what": f"product:{product.pk}", "lines-0-unit_price": "1,234"}
    page = at_the_bench.post("/orders/new/", {"customer": customer.pk, **lines}).content.decode()
    assert "“1,234” can be read in two ways: write 1234 or 1.234." in page
    assert not Order.objects.exists()


def test_a_line_that_holds_a_piece_is_not_taken_off(at_the_bench: Client, ready: Order, line: OrderLine) -> None:
    answer = at_the_bench.post(reverse("remove-line", args=[17, line.pk]), follow=True)
    assert "holds CH125-007: put back first what it holds." in answer.content.decode()
    assert OrderLine.objects.filter(pk=line.pk).exists()


def test_a_line_whose_pieces_are_back_is_taken_off_and_wants_none_any_more(
    at_the_bench: Client, ready: Order, line: OrderLine
) -> None:
    allocation.release_all(ready)
    page = at_the_bench.post(reverse("remove-line", args=[17, line.pk]), follow=True).content.decode()
    assert "Taken off: 1 × CH125 CH125." in page
    assert "0 of 0 pieces chosen" in page


def test_a_piece_keeps_the_history_of_a_line_that_was_taken_off(
    at_the_bench: Client, ready: Order, line: OrderLine, piece: Piece
) -> None:
    allocation.release_all(ready)
    at_the_bench.post(reverse("remove-line", args=[17, line.pk]))
    assert "17, A. Carpenter" in at_the_bench.get(reverse("piece", args=[piece.pk])).content.decode()


@pytest.mark.parametrize("name", ["add-line", "remove-line"])
def test_the_lines_of_a_sent_order_stay_as_they_are(
    at_the_bench: Client, order: Order, line: OrderLine, name: Any
) -> None:
    Order.objects.update(state="sent")
    address = reverse(name, args=[17, line.pk] if name == "remove-line" else [17])
    answer = at_the_bench.post(address, {}, follow=True)
    assert "Order 17 is sent: its lines stay as they are." in answer.content.decode()


def place(line: Any, product: Any) -> Any:
    return f"place-{line.pk}-{product.pk}-1"


def test_proposed_numbers_stand_in_the_open_places(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    page = at_the_bench.get("/orders/17/").content.decode()
    assert f'name="{place(line, product)}"' in page
    assert 'value="7"' in page
    assert "On the rack: 7." in page
    assert "Never stamped: 1–6." in page


def test_the_number_typed_is_taken_from_the_rack(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    make_piece(product, 8)
    at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): "8"})
    assert Allocation.objects.live().get().piece.number == 8


def test_a_number_held_for_someone_else_is_refused_with_who_holds_it(
    at_the_bench: Client, order: Order, line: OrderLine, product: Product, customer: Customer
) -> None:
    elsewhere = Order.objects.create(customer=customer, number=18)
    other = OrderLine.objects.create(order=elsewhere, product=product)
    allocation.allocate(elsewhere, [(other, make_piece(product, 9))])
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): "9"})
    assert answer.status_code == 400
    assert "CH125-009 is held for order 18, A. Carpenter." in answer.content.decode()
    assert not Allocation.objects.live().filter(line=line).exists()


def test_a_number_never_stamped_is_refused(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): "5"})
    assert "CH125 has no number 5 on record: measure it first." in answer.content.decode()


def test_a_scrapped_number_is_refused(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    Piece.objects.update(state="scrapped", reason="cracked")
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): "7"})
    assert "CH125-007 is scrapped." in answer.content.decode()


def test_one_number_is_not_taken_twice(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    OrderLine.objects.update(quantity=2)
    first = place(line, product)
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {first: "7", first[:-1] + "2": "7"})
    assert "CH125-007 is named twice here." in answer.content.decode()


def test_no_number_at_all_is_told(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product
) -> None:
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): ""})
    assert "nothing is taken from the rack" in answer.content.decode()


@pytest.mark.parametrize("typed", ["0", "-3", "seven", "9999999999999999999999"])
def test_what_is_no_number_is_refused_and_kept(
    at_the_bench: Client, order: Order, line: OrderLine, piece: Piece, product: Product, typed: Any
) -> None:
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), {place(line, product): typed})
    assert answer.status_code == 400
    assert f'value="{typed}"' in answer.content.decode()


def test_a_matched_set_refuses_numbers_that_do_not_match(
    at_the_bench: Client, order: Order, pair: Any, product: Product, other_product: Any
) -> None:
    line = OrderLine.objects.create(order=order, product_set=pair, matched=True)
    for made in (product, other_product):
        make_piece(made, 3)
        make_piece(made, 4)
    typed = {place(line, product): "3", place(line, other_product): "4"}
    answer = at_the_bench.post(reverse("take-from-rack", args=[17]), typed)
    assert "SP080-004 does not match" in answer.content.decode()
    assert not Allocation.objects.exists()


def test_why_a_matched_set_has_no_number_is_told(
    at_the_bench: Client, order: Order, pair: Any, product: Product, other_product: Any
) -> None:
    OrderLine.objects.create(order=order, product_set=pair, matched=True)
    make_piece(product, 3)
    make_piece(other_product, 4)
    assert (
        "no number is on the rack, measured, in all of its products" in at_the_bench.get("/orders/17/").content.decode()
    )


def test_a_piece_is_put_back_on_the_rack(at_the_bench: Client, ready: Order, piece: Piece) -> None:
    held = Allocation.objects.live().get()
    answer = at_the_bench.post(reverse("release", args=[17, held.pk]), follow=True)
    assert "CH125-007 is back on the rack." in answer.content.decode()
    piece.refresh_from_db()
    assert piece.state == "rack"


def test_a_piece_of_a_packed_order_is_not_put_back(at_the_bench: Client, packed: Order, piece: Piece) -> None:
    held = Allocation.objects.live().get()
    answer = at_the_bench.post(reverse("release", args=[17, held.pk]), follow=True)
    assert "its pieces cannot be changed" in answer.content.decode()
    piece.refresh_from_db()
    assert piece.state == "allocated"


def test_an_allocation_is_not_released_under_another_orders_address(
    at_the_bench: Client, ready: Order, customer: Customer
) -> None:
    Order.objects.create(customer=customer, number=18)
    held = Allocation.objects.live().get()
    assert at_the_bench.post(reverse("release", args=[18, held.pk])).status_code == 404


def test_an_order_page_needs_as_many_queries_for_twelve_pieces_as_for_one(
    at_the_bench: Client, planned: Any, line: OrderLine, product: Product
) -> None:
    with_one = queries_of(at_the_bench, "/orders/17/")
    OrderLine.objects.filter(pk=line.pk).update(quantity=12)
    line.refresh_from_db()
    allocation.allocate(planned, [(line, make_piece(product, number)) for number in range(20, 31)])
    plan_for(planned)
    assert queries_of(at_the_bench, "/orders/17/") == with_one


def test_a_customers_name_is_never_markup(at_the_bench: Client, order: Order, customer: Customer) -> None:
    Customer.objects.update(name="<script>alert(1)</script>")
    assert b"<script>alert" not in at_the_bench.get("/orders/17/").content
    assert b"<script>alert" not in at_the_bench.get("/").content


def test_a_set_of_another_shop_is_not_offered(at_the_bench: Client, order: Order, pair: Any, other_forge: Any) -> None:
    ProductSet.objects.update(shop=other_forge)
    assert b"Pair" not in at_the_bench.get("/orders/17/").content


@pytest.mark.parametrize(
    ("numbers", "read"),
    [([], ""), ([3], "3"), ([4, 3], "3, 4"), ([1, 2, 3, 7], "1–3, 7"), ([5, 6, 9, 10, 11], "5, 6, 9–11")],
)
def test_runs_of_numbers_are_drawn_together(numbers: Any, read: Any) -> None:
    assert number_runs(numbers) == read


def test_gaps_are_the_numbers_below_the_highest_that_nobody_bears() -> None:
    assert gaps_between([2, 5, 6]) == [1, 3, 4]
    assert gaps_between([]) == []


def take(client: Any, line: Any, typed: Any) -> Any:
    return client.post(reverse("take-from-rack", args=[17]), {f"place-{line.pk}-{line.product_id}-1": typed})


@pytest.mark.parametrize("scanned", ["CH125-007", "ch125 7", "007"])
def test_a_number_is_taken_from_the_rack_as_scanned(
    at_the_bench: Client, line: OrderLine, piece: Piece, scanned: Any
) -> None:
    assert take(at_the_bench, line, scanned).status_code == 302
    assert Allocation.objects.live().get().piece == piece


def test_a_number_of_another_product_is_refused_with_both_numbers_and_products(
    at_the_bench: Client, line: OrderLine, piece: Piece, other_product: Any
) -> None:
    make_piece(other_product, 7)
    answer = take(at_the_bench, line, "SP080-007")
    assert answer.status_code == 400
    page = answer.content.decode()
    assert "SP080-007 is SP080 SP080; here “1 × CH125 CH125” wants CH125 CH125, such as CH125-007." in page
    assert 'value="SP080-007"' in page
    assert not Allocation.objects.exists()


def test_a_number_of_another_product_is_refused_where_none_can_be_proposed(
    at_the_bench: Client, line: OrderLine, other_product: Any
) -> None:
    page = take(at_the_bench, line, "SP080-007").content.decode()
    assert "SP080-007 is SP080 SP080; here “1 × CH125 CH125” wants CH125 CH125." in page
