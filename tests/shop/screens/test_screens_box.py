"""The box of an order on its screen: asked for, watched, shown; its weights, its carriers, its papers."""

import datetime as dt
import io
import re
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from shop import adapter
from shop.formatting import Units, Wording
from shop.models import Carton, Customer, Job, Order, OrderLine, Parcel, Piece, RateRule, Shop, User
from shop.papers import render_all
from shop.presenters.plan import PlanPresenter
from tests.helpers import present
from tests.shop.planned import keep, only_plan
from tests.shop.screens.conftest import plan_for

HTMX = {"HX-Request": "true"}


@pytest.fixture
def rules(forge: Shop, customer: Customer) -> None:
    """The published rules, for a shop and a customer where most of the services go."""
    Shop.objects.update(country="US")
    Customer.objects.update(country="US")
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)


def page_of(client: Any, number: Any = 17) -> Any:
    return client.get(reverse("order", args=[number])).content.decode()


def told(client: Any, name: Any) -> Any:
    return client.post(reverse(name, args=[17]), follow=True).content.decode()


def test_the_button_asks_for_a_plan(log_in: Any, ready: Order) -> None:
    log_in("packer").post(reverse("plan-box", args=[17]))
    assert list(Job.objects.values_list("kind", "state", "order__number")) == [("plan", "waiting", 17)]


def test_an_order_that_is_not_ready_is_told_what_is_missing(
    at_the_bench: Client, order: Order, line: OrderLine
) -> None:
    assert "wants 1 piece" in told(at_the_bench, "plan-box")
    assert not Job.objects.exists()


def test_a_sent_order_is_not_planned_again(at_the_bench: Client, ready: Order) -> None:
    Order.objects.update(state="sent")
    assert "its box is not planned again" in told(at_the_bench, "plan-box")


def test_the_page_follows_a_waiting_job(at_the_bench: Client, ready: Order) -> None:
    Job.objects.create(order=ready, kind="plan")
    page = page_of(at_the_bench)
    assert 'hx-get="/orders/17/progress/?of=plan"' in page
    assert "Waiting for the worker." in page


def test_progress_is_asked_for_again_after_an_answer_that_never_came(at_the_bench: Client, ready: Order) -> None:
    Job.objects.create(order=ready, kind="plan", state="running")
    assert "every 5s" in at_the_bench.get("/orders/17/progress/", headers=HTMX).content.decode()


def test_progress_tells_the_best_so_far_and_how_far_from_the_smallest(at_the_bench: Client, ready: Order) -> None:
    progress = {"seconds": 1.4, "steps": 900, "volume_l": 8.31, "gap": 0.0712}
    Job.objects.create(order=ready, kind="plan", state="running", progress=progress)
    answer = at_the_bench.get("/orders/17/progress/?of=plan", headers=HTMX)
    assert "8.3\u00a0litres, at most 7.1\u00a0% above the smallest possible" in answer.content.decode()
    assert "HX-Retarget" not in answer.headers
    assert "<html" not in answer.content.decode()


def test_progress_speaks_of_bills_where_those_are_aimed_at_and_of_inches_to_who_reads_them(
    at_the_bench: Client, ready: Order
) -> None:
    Shop.objects.update(length_unit="in", weight_unit="lb")
    User.objects.update(length_unit="in", weight_unit="lb")
    progress = {"seconds": 1.4, "steps": 900, "aim": "price", "volume_l": 8.31, "gap": None}
    Job.objects.create(order=ready, kind="plan", state="running", progress=progress)
    said = at_the_bench.get("/orders/17/progress/?of=plan", headers=HTMX).content.decode()
    assert "Looking for a box that is billed less" in said
    assert "507\u00a0in³." in said
    assert "litres" not in said and "smallest possible" not in said


def test_a_search_that_has_not_found_a_box_yet_says_so(at_the_bench: Client, ready: Order) -> None:
    Job.objects.create(order=ready, kind="plan", state="running", progress={"seconds": 0.2, "volume_l": None})
    assert "Laying out the pieces." in at_the_bench.get("/orders/17/progress/", headers=HTMX).content.decode()


def test_a_finished_plan_takes_the_place_of_the_progress(at_the_bench: Client, planned: Any) -> None:
    Job.objects.create(order=planned, kind="plan", state="done")
    answer = at_the_bench.get("/orders/17/progress/?of=plan", headers=HTMX)
    assert (answer["HX-Retarget"], answer["HX-Reswap"]) == ("#order", "innerHTML")
    assert "The box is planned." in answer.content.decode()
    assert "Box outside" in answer.content.decode()


def test_finished_papers_swap_their_own_part_only(at_the_bench: Client, paper: Any) -> None:
    Job.objects.create(order=paper.plan.order, kind="papers", state="done")
    answer = at_the_bench.get("/orders/17/progress/?of=papers", headers=HTMX)
    assert answer["HX-Retarget"] == "#papers"
    assert "Packing slip" in answer.content.decode()
    assert "All numbers typed" not in answer.content.decode()


def test_papers_being_printed_are_counted(at_the_bench: Client, planned: Any) -> None:
    Job.objects.create(order=planned, kind="papers", state="running", progress={"papers": 1, "of": 3})
    assert "1 of 3 are ready" in page_of(at_the_bench)


@pytest.mark.parametrize(("kind", "heading"), [("plan", "No plan."), ("papers", "No papers.")])
def test_a_failed_job_says_why(at_the_bench: Client, ready: Order, kind: Any, heading: Any) -> None:
    Job.objects.create(order=ready, kind=kind, state="failed", error="The longest handle is 3 mm too long.")
    page = page_of(at_the_bench)
    assert heading in page
    assert "The longest handle is 3 mm too long." in page


def test_the_plan_shows_its_sizes_weights_and_pictures(at_the_bench: Client, planned: Any) -> None:
    page, content = page_of(at_the_bench), only_plan(planned).content
    assert page.count("<figure") == len(content["layers"]) + 2
    for side in (*content["box"]["outer_mm"], *content["box"]["inner_mm"]):
        assert f"{side:g}" in page
    assert f"± {content['weight']['tolerance_g']:.1f}\u00a0g" in page


@pytest.mark.parametrize(("thicker", "shown"), [(0.01, False), (3, True)])
def test_the_outside_in_the_thickest_stock_is_shown_where_it_reads_otherwise(
    at_the_bench: Client, planned: Any, thicker: Any, shown: Any
) -> None:
    plan = only_plan(planned)
    plan.content["box"]["most_mm"] = [side + thicker for side in plan.content["box"]["outer_mm"]]
    plan.pk, plan._state.adding = None, True
    plan.save()
    keep(Order.objects.get(), plan)
    assert ("in the thickest stock" in page_of(at_the_bench)) is shown


def test_every_piece_keeps_its_letter_from_the_plan(at_the_bench: Client, planned: Any) -> None:
    page = page_of(at_the_bench)
    for item in only_plan(planned).content["items"]:
        assert f'<span class="ring">{item["letter"]}</span>' in page


def test_measures_are_shown_in_the_readers_units(log_in: Any, planned: Any, packer: User) -> None:
    packer.length_unit, packer.weight_unit = "in", "lb"
    packer.save()
    page = page_of(log_in("packer"))
    assert re.search(r"\d\u00a0\d+/\d+\u00a0in", page)
    assert "\u00a0in" in page
    assert "\u00a0lb\u00a0" in page


def test_a_plan_of_what_the_order_was_is_marked_so(at_the_bench: Client, planned: Any) -> None:
    Piece.objects.update(handle_length=260)
    assert "The order has changed since this plan was made." in page_of(at_the_bench)


def test_other_settings_make_a_plan_one_of_what_was(at_the_bench: Client, planned: Any) -> None:
    Shop.objects.update(foam_density_kg_m3=33)
    assert "The order has changed since this plan was made." in page_of(at_the_bench)


def test_a_sent_order_keeps_its_plan_as_it_was(at_the_bench: Client, planned: Any) -> None:
    Order.objects.update(state="sent")
    Piece.objects.update(handle_length=260)
    assert "The order has changed since this plan was made." not in page_of(at_the_bench)


def test_pictures_are_drawn_once_for_each_plan_and_unit(planned: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = PlanPresenter(only_plan(planned), Wording(Units()), dt.date(2026, 11, 1))
    first = sheet.drawings
    monkeypatch.setattr(adapter, "plan_view", None)
    assert PlanPresenter(only_plan(planned), Wording(Units()), dt.date(2026, 11, 1)).drawings == first


def test_pictures_are_drawn_in_each_readers_units(planned: Any) -> None:
    today = dt.date(2026, 11, 1)
    in_mm, in_inches = (
        PlanPresenter(only_plan(planned), Wording(Units(unit)), today).drawings for unit in ("mm", "in")
    )
    assert in_mm[0].svg != in_inches[0].svg


def test_billed_weight_stands_beside_gross_with_its_year_and_the_advice(
    at_the_bench: Client, planned: Any, rules: Any
) -> None:
    page = page_of(at_the_bench)
    for heading in ("Gross", "Dimensional", "Billed", "Value of"):
        assert f">{heading}</th>" in page
    assert ">2026</td>" in page
    assert "check before quoting" in page


def test_rules_that_are_over_stand_apart(at_the_bench: Client, planned: Any, rules: Any) -> None:
    page = page_of(at_the_bench)
    assert "Under rules that are over or yet to come" in page
    assert "2025-08-18 to 2026-01-11" in page


def test_a_rule_that_does_not_take_the_box_says_so(at_the_bench: Client, planned: Any, forge: Shop) -> None:
    RateRule.objects.create(
        shop=forge, carrier="Post", service="small", valid_from="2020-01-01", system="cm/kg", max_weight=Decimal(1)
    )
    page = page_of(at_the_bench)
    assert "not taken" in page
    assert "does not take it" in page


def test_a_rule_that_cannot_be_used_is_a_sentence_not_a_fault(at_the_bench: Client, planned: Any, forge: Shop) -> None:
    RateRule.objects.create(
        shop=forge, carrier="Post", service="odd", valid_from="2020-01-01", system="cm/kg", triggers=[{"name": "x"}]
    )
    answer = at_the_bench.get("/orders/17/")
    assert answer.status_code == 200
    assert "Post: odd" in answer.content.decode()


def test_no_rule_on_file_is_told(at_the_bench: Client, planned: Any) -> None:
    assert "No carrier’s rule in force today is on file for this way." in page_of(at_the_bench)


def test_the_stock_carton_is_the_second_answer(at_the_bench: Client, ready: Order, forge: Shop, rules: Any) -> None:
    Carton.objects.create(shop=forge, name="600 x 400 x 200", length=600, width=400, height=200, count=3)
    from shop.services import planning

    planning.plan_now(ready, 0.3)
    page = page_of(at_the_bench)
    assert "Or a stock carton" in page
    assert "Billed, stock carton" in page


def test_papers_are_asked_for_on_the_size_chosen(at_the_bench: Client, planned: Any) -> None:
    at_the_bench.post(reverse("print-papers", args=[17]), {"page_size": "Letter"})
    assert Job.objects.get(kind="papers").payload == {"plans": [only_plan(planned).pk], "page_size": "Letter"}


@pytest.mark.parametrize("size", ["", "A3", "../x"])
def test_a_size_of_paper_nobody_has_falls_back_on_the_shops(at_the_bench: Client, planned: Any, size: Any) -> None:
    at_the_bench.post(reverse("print-papers", args=[17]), {"page_size": size})
    assert Job.objects.get(kind="papers").payload["page_size"] == "A4"


def test_papers_of_a_changed_order_are_refused(at_the_bench: Client, planned: Any) -> None:
    Piece.objects.update(handle_length=260)
    assert "has changed since its box was planned" in told(at_the_bench, "print-papers")


def test_a_paper_is_downloaded_under_a_name_that_says_what_it_is(log_in: Any, paper: Any) -> None:
    answer = log_in("packer").get(reverse("paper", args=[paper.pk]))
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 slip"
    assert answer["Content-Type"] == "application/pdf"
    assert f'filename="order-17-plan-{paper.plan.code}-packing-slip-A4.pdf"' in answer["Content-Disposition"]


def test_a_paper_whose_file_is_gone_is_404(at_the_bench: Client, paper: Any) -> None:
    paper.path.unlink()
    assert at_the_bench.get(reverse("paper", args=[paper.pk])).status_code == 404


def test_a_paper_of_the_current_plan_is_marked_so(at_the_bench: Client, paper: Any) -> None:
    assert "of the current plan" in page_of(at_the_bench)


def test_a_paper_is_stale_once_the_box_is_planned_again(at_the_bench: Client, paper: Any) -> None:
    plan_for(paper.plan.order)
    page = page_of(at_the_bench)
    assert "of an older plan" in page
    assert "of the current plan" not in page


def test_a_paper_is_stale_once_the_order_has_changed(at_the_bench: Client, paper: Any) -> None:
    Piece.objects.update(handle_length=260)
    assert "stale" in page_of(at_the_bench)


def test_a_packing_slip_is_stale_once_the_customer_has_moved(
    at_the_bench: Client, paper: Any, customer: Customer
) -> None:
    customer.address = "2 New Street"
    customer.save()
    page = page_of(at_the_bench)
    assert "names, addresses or units have changed since" in page
    assert "of the current plan" not in page
    assert "Make the papers" in page[page.index('id="next"') :][:400]


def test_all_papers_are_one_file_once_each_is_there(at_the_bench: Client, paper: Any) -> None:
    plan = paper.plan
    address = reverse("all-papers", args=[17, 1, "A4"])
    assert at_the_bench.get(address).status_code == 404
    assert "All three papers in one file" not in page_of(at_the_bench)
    papers = render_all(plan, page_size="A4")
    assert "All three papers in one file, A4" in page_of(at_the_bench)
    answer = at_the_bench.get(address)
    assert answer["Content-Type"] == "application/pdf"
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == sum(present(one.pages) for one in papers)
    assert at_the_bench.get(reverse("all-papers", args=[17, 1, "Letter"])).status_code == 404


def test_the_papers_of_a_sent_order_are_what_went_with_it(at_the_bench: Client, paper: Any, customer: Customer) -> None:
    Order.objects.update(state="sent")
    Parcel.objects.update(state="sent")
    customer.address = "2 New Street"
    customer.save()
    assert "stale" not in page_of(at_the_bench)


def test_the_page_says_that_the_box_is_the_smallest_where_no_carrier_is_named(
    at_the_bench: Client, planned: Any
) -> None:
    assert "Chosen for the smallest interior." in page_of(at_the_bench)


def test_the_page_says_by_which_carrier_the_box_was_chosen_and_how_old_its_rule_is(
    at_the_bench: Client, ready: Order, rules: Any
) -> None:
    rule = RateRule.objects.get(carrier="UPS", service="Ground, United States", valid_to=None)
    Shop.objects.update(priced_by=rule)
    plan = plan_for(Order.objects.get())
    billed = plan.content["chosen"]["billed"]
    year = present(rule.as_of).year
    said = f"least billed weight: {billed} lb with UPS, Ground, United States (value of {year}, check before"
    assert said in page_of(at_the_bench)


def test_a_box_that_no_carrier_takes_says_so_where_it_says_what_it_was_chosen_for(
    at_the_bench: Client, ready: Order, rules: Any
) -> None:
    RateRule.objects.update(max_weight="0.001")
    Shop.objects.update(priced_by=RateRule.objects.filter(carrier="UPS", valid_to=None).first())
    plan_for(Order.objects.get())
    page = page_of(at_the_bench)
    assert "No box of this order is taken by the carrier that boxes are chosen by." in page
    assert "Chosen for the least billed weight" not in page


def test_a_service_is_shown_only_where_it_goes(at_the_bench: Client, planned: Any, rules: Any) -> None:
    page = page_of(at_the_bench)
    assert "UPS: Ground, United States" in page
    assert "DHL: Express" not in page
    assert "Services that do not go from United States of America to United States of America are left out." in page
    Customer.objects.update(country="DE")
    page = page_of(at_the_bench)
    assert "UPS: Ground, United States" not in page
    assert "DHL: Express" in page


def test_a_service_that_does_not_go_there_is_no_aim(ready: Order, rules: Any) -> None:
    Shop.objects.update(priced_by=RateRule.objects.get(carrier="UPS", service="Ground, United States", valid_to=None))
    assert present(adapter.order_file(Order.objects.get()).stock.priced_by)["service"] == "Ground, United States"
    Customer.objects.update(country="DE")
    assert adapter.order_file(Order.objects.get()).stock.priced_by is None
    Shop.objects.update(priced_abroad_by=RateRule.objects.get(carrier="DHL"))
    assert present(adapter.order_file(Order.objects.get()).stock.priced_by)["carrier"] == "DHL"


def test_the_page_says_that_the_aim_does_not_go_there(at_the_bench: Client, ready: Order, rules: Any) -> None:
    Shop.objects.update(priced_by=RateRule.objects.get(carrier="UPS", service="Ground, United States", valid_to=None))
    Customer.objects.update(country="DE")
    plan_for(Order.objects.get())
    assert "does not go from United States of America to Germany" in page_of(at_the_bench)
