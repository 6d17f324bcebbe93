"""The boxes offered for an order: shown with what each trades, taken by who may plan, never mixed with older ones."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from packing.plan.bill import ChoicePlan
from shop import adapter
from shop.formatting import Units, Wording
from shop.models import BoxPlan, Customer, Document, Job, Offer, Order, Parcel, Piece, RateRule, Shop, User
from shop.models.base import ImmutableRowError
from shop.money import Money
from shop.presenters.offers import offered_boxes
from shop.services import dispatch, jobs, planning
from shop.services.errors import CannotPlan
from shop.worker import tasks
from tests.helpers import present
from tests.shop.planned import only_parcel, only_plan, store_one
from tests.shop.screens.browser import CHROMIUM, look_at


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


_found: Any = {}


def _planned(file: Any) -> Any:
    """What planning gives for an order file; the search runs once for each."""
    if file.input_hash not in _found:
        terms = adapter.terms_for(Order.objects.get(), file.stock)
        _found[file.input_hash] = adapter.plan_with_offers(file, terms, seconds=0.3)
    return _found[file.input_hash]


@pytest.fixture
def offered(ready: Order, forge: Shop) -> Any:
    """Order 17 planned under a published rule, with its offers; the search runs once."""
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
    forge.country = "US"
    Customer.objects.update(country="US")
    forge.priced_by = RateRule.objects.get(carrier="UPS", service="Ground, United States", valid_to=None)
    forge.save()
    order = Order.objects.get()
    file = adapter.order_file(order)
    planned = _planned(file)
    store_one(order, file, planned.answer, planned=planned)
    return Order.objects.get()


WOODEN = adapter.kinds.Purpose.WOODEN


def page_of(client: Any) -> Any:
    return client.get(reverse("order", args=[17])).content.decode()


def section_of(page: Any) -> Any:
    return page.partition('id="offers"')[2].partition('id="weights"')[0]


def plan_now_of(order: Order) -> BoxPlan:
    """The order's plan, which it has."""
    return present(only_plan(order))


def chosen(offer: Any) -> ChoicePlan:
    """By what an offer was chosen."""
    return present(adapter.plan_of(offer).chosen)


def wooden(order: Any) -> Any:
    """The place of the wooden box among the offers."""
    return next(i for i, offer in enumerate(only_plan(order).choices) if WOODEN in chosen(offer).purposes)


def take(client: Any, order: Any, index: Any, plan: Any = None) -> Any:
    data = {"plan": (plan or only_plan(order)).pk}
    return client.post(reverse("take-offer", args=[17, 1, index]), data, follow=True).content.decode()


def test_up_to_four_boxes_are_offered_each_best_at_something_else(offered: Any) -> None:
    purposes = [one for offer in only_plan(offered).choices for one in chosen(offer).purposes]
    assert len(purposes) == len(set(purposes))
    assert {"cheapest to send", "wooden"} <= set(purposes) <= set(adapter.kinds.Purpose)
    assert 2 <= len(only_plan(offered).choices) <= 4


def test_the_box_on_the_page_is_one_of_the_offers_whatever_it_is_best_at(offered: Any) -> None:
    taken = [offer.title for offer in offered_boxes(only_plan(offered), Wording(Units())) if offer.taken]
    assert len(taken) == 1 and taken[0]


def test_each_box_offered_has_passed_the_checker(offered: Any) -> None:
    file = adapter.order_file(offered)
    for offer in only_plan(offered).choices:
        assert adapter.problems(file.content, offer.content) == []


def test_each_box_is_shown_with_picture_sizes_weights_material_and_work(at_the_bench: Client, offered: Any) -> None:
    section = section_of(page_of(at_the_bench))
    choices = only_plan(offered).choices
    assert section.count("<svg") == len(choices)
    for offer in choices:
        plan = adapter.plan_of(offer)
        assert f"{plan.box.outer_um[0] / 1000:g}" in section
        assert f"{chosen(offer).billed} {chosen(offer).weight_unit}" in section
        assert plan.box.parts[0].material in section


def test_each_offer_says_where_what_bills_it_was_read_and_how_sure_that_is(at_the_bench: Client, offered: Any) -> None:
    section = section_of(page_of(at_the_bench))
    rule = offered.shop.priced_by
    for offer in only_plan(offered).choices:
        by = chosen(offer)
        assert (by.source, by.sureness, by.note) == (rule.source, rule.sureness, rule.note)
    assert section.count(f"read on another page: {rule.source}") >= len(only_plan(offered).choices)


def test_each_limit_passed_of_an_offer_bears_its_own_mark(at_the_bench: Client, offered: Any) -> None:
    limit = {
        "name": "additional handling", "measure": "longest", "above": "1", "consequence": "Charged.",
        "source": "an old list", "sureness": "memory", "as_of": "2019-03-04",
    }  # fmt: skip
    RateRule.objects.filter(pk=offered.shop.priced_by_id).update(triggers=[limit])
    planning.plan_now(Order.objects.get(), 0.2)
    choices = plan_now_of(Order.objects.get()).choices
    assert section_of(page_of(at_the_bench)).count("from memory: an old list (2019)") >= len(choices) > 1


def test_what_each_offered_box_rests_on_stands_with_it(at_the_bench: Client, offered: Any) -> None:
    section = section_of(page_of(at_the_bench))
    assert section.count("What it rests on, the least sure first") == len(only_plan(offered).choices)
    for offer in only_plan(offered).choices:
        for fact in adapter.plan_of(offer).box.facts:
            assert fact.source.partition(";")[0].replace("'", "&#x27;") in section


def test_what_a_box_trades_is_said_in_the_readers_units(offered: Any) -> None:
    wording = Wording(Units("in", "lb"))
    others = offered_boxes(only_plan(offered), wording)[1:]
    said = [words for sheet in others for words in sheet.trade]
    assert any("heavier" in words or "lighter" in words for words in said)
    assert not any("mm" in words or "\u00a0g" in words for words in said)


def test_a_wooden_box_stands_beside_its_alternative_and_the_handling_surcharge_is_told(
    at_the_bench: Client, offered: Any
) -> None:
    offer = only_plan(offered).choices[wooden(offered)]
    section = section_of(page_of(at_the_bench))
    assert str(adapter.beside_of(offer)).partition(":")[0] in section
    assert "the outside is wood, not corrugated board" in section


def test_the_wood_of_a_box_that_goes_abroad_is_judged(at_the_bench: Client, offered: Any) -> None:
    assert "ISPM" not in section_of(page_of(at_the_bench))
    Customer.objects.update(country="NO")
    planning.plan_now(Order.objects.get(), 0.2)
    order = Order.objects.get()
    treatment = present(adapter.plan_of(plan_now_of(order).choices[wooden(order)]).box.treatment)
    assert treatment.verdict in (adapter.kinds.TreatmentVerdict.EXEMPT, adapter.kinds.TreatmentVerdict.MARK_NEEDED)
    assert str(treatment.sentence).partition(":")[0] in section_of(page_of(at_the_bench))


def test_what_is_asked_of_the_wood_stays_with_the_box_once_it_is_taken(at_the_bench: Client, offered: Any) -> None:
    Customer.objects.update(country="NO")
    planning.plan_now(Order.objects.get(), 0.2)
    order = Order.objects.get()
    planning.take_offer(only_parcel(order), plan_now_of(order), wooden(order))
    page = page_of(at_the_bench)
    box, packing = page.partition('id="box"')[2].partition('id="offers"')[0], page.partition('id="sending"')[2]
    assert "ISPM 15" in box
    assert "ISPM 15" in packing
    dispatch.pack(only_parcel(Order.objects.get()))
    Parcel.objects.update(weighed_g=9000)
    assert "ISPM 15" in at_the_bench.get(reverse("send-parcel", args=[17, 1])).content.decode()


def test_a_customer_who_moves_abroad_asks_for_a_new_plan(offered: Any) -> None:
    assert adapter.is_current(offered)
    Customer.objects.update(country="NO")
    assert not adapter.is_current(Order.objects.get())


def test_why_a_board_was_chosen_is_told_with_source_and_how_sure(at_the_bench: Client, offered: Any) -> None:
    section = section_of(page_of(at_the_bench))
    assert "is the lightest that no rule speaks against" in section
    assert "USPS Publication 2" in section
    assert "carries no maker’s certificate" in section


@pytest.mark.parametrize("role", ["owner", "bookkeeper"])
def test_a_cost_that_is_not_known_is_said_plainly(log_in: Any, offered: Any, role: Any) -> None:
    section = section_of(page_of(log_in(role)))
    assert "Cost of material and work" in section
    assert "The price of an hour of work is not known." in section


def test_the_packer_sees_no_cost(log_in: Any, offered: Any) -> None:
    section = section_of(page_of(log_in("packer")))
    assert "Cost of material" not in section
    assert "EUR" not in section
    assert "The price of" not in section


def test_the_bookkeeper_looks_and_takes_nothing(log_in: Any, offered: Any) -> None:
    assert "Take this box" not in page_of(log_in("bookkeeper"))
    answer = log_in("bookkeeper").post(reverse("take-offer", args=[17, 1, 1]), {"plan": only_plan(offered).pk})
    assert answer.status_code == 403


def test_offers_do_not_exist_for_a_stranger(log_in: Any, offered: Any) -> None:
    answer = log_in("stranger").post(reverse("take-offer", args=[17, 1, 1]), {"plan": only_plan(offered).pk})
    assert answer.status_code == 404


def test_a_box_taken_becomes_the_orders_plan_and_its_papers_are_asked_for(log_in: Any, offered: Any) -> None:
    first, index = only_plan(offered), wooden(offered)
    page = take(log_in("packer"), offered, index)
    plan = plan_now_of(Order.objects.get())
    assert plan.content == first.choices[index].content
    assert (plan.chosen_from, plan.input_hash) == (first, first.input_hash)
    assert Parcel.objects.filter(plan=plan).count() == 1
    assert Job.objects.get(kind="papers").payload["plans"] == [plan.pk]
    assert "Chosen by hand among the boxes offered: wooden." in page


def test_after_one_is_taken_the_others_are_still_offered(at_the_bench: Client, offered: Any) -> None:
    first, index = only_plan(offered), wooden(offered)
    take(at_the_bench, offered, index)
    again = Order.objects.get()
    page = take(at_the_bench, again, 0)
    assert page.count("this order’s plan") == 1
    assert plan_now_of(Order.objects.get()).chosen_from == first
    assert BoxPlan.objects.count() == 3


def test_from_a_box_taken_there_is_a_way_back_to_the_one_planned_first(at_the_bench: Client, offered: Any) -> None:
    first = only_plan(offered)
    assert "Go back to the box" not in page_of(at_the_bench)
    assert "Go back to the box" in take(at_the_bench, offered, wooden(offered))
    data = {"plan": only_plan(Order.objects.get()).pk}
    page = at_the_bench.post(reverse("take-first", args=[17, 1]), data, follow=True).content.decode()
    assert plan_now_of(Order.objects.get()).content == first.content
    assert "Chosen for the least billed weight" in page


def test_planning_again_says_first_that_it_drops_the_box_taken_and_its_papers(
    at_the_bench: Client, offered: Any
) -> None:
    take(at_the_bench, offered, wooden(offered))
    plan = plan_now_of(Order.objects.get())
    Document.objects.create(plan=plan, kind="box", page_size="A4", sha256="5" * 64, made_from_hash="6" * 64, pages=2)
    page = page_of(at_the_bench)
    assert "The box taken by hand (" in page
    assert f"The paper of plan {plan.code} is of use no more" in page
    told = at_the_bench.post(reverse("plan-box", args=[17]), follow=True).content.decode()
    assert "Nothing is planned yet: look first what that gives up. The box taken by hand" in told
    assert not Job.objects.filter(kind="plan").exists()
    at_the_bench.post(reverse("plan-box", args=[17]), {"sure": "1"})
    assert Job.objects.filter(kind="plan").exists()


def test_planning_again_asks_nothing_where_nothing_is_dropped(at_the_bench: Client, offered: Any) -> None:
    at_the_bench.post(reverse("plan-box", args=[17]))
    assert Job.objects.filter(kind="plan").exists()


def test_an_inch_fraction_stands_in_the_sentence_as_on_the_drawings(
    at_the_bench: Client, offered: Any, owner: User
) -> None:
    owner.length_unit = "in"
    owner.save()
    take(at_the_bench, offered, wooden(offered))
    section = section_of(page_of(at_the_bench))
    assert re.search(r"\d+/\d+\sin thi(cker|nner)", section)


def test_the_box_that_is_the_plan_is_marked_and_not_offered_again(at_the_bench: Client, offered: Any) -> None:
    take(at_the_bench, offered, wooden(offered))
    section = section_of(page_of(at_the_bench))
    assert section.count("this order’s plan") == 1
    assert section.count("Take this box") == len(only_plan(offered).choices) - 1


def test_a_box_offered_with_an_older_plan_is_refused(at_the_bench: Client, offered: Any) -> None:
    older = only_plan(offered)
    planning.plan_now(offered, 0.2)
    newer = only_plan(Order.objects.get())
    assert "has been planned again meanwhile" in take(at_the_bench, offered, 0, older)
    assert only_plan(Order.objects.get()) == newer


def test_of_two_who_take_a_box_at_once_the_second_is_told(offered: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = only_plan(offered)
    first, second = Order.objects.get(), Order.objects.get()
    monkeypatch.setattr(planning, "current_plan", lambda parcel: plan)  # both have read the same plan
    taken = planning.take_offer(only_parcel(first), plan, 1)
    with pytest.raises(CannotPlan, match="planned again meanwhile"):
        planning.take_offer(only_parcel(second), plan, 0)
    assert only_plan(Order.objects.get()) == taken


def test_an_order_that_changed_takes_no_box(at_the_bench: Client, offered: Any) -> None:
    Piece.objects.update(handle_length=260)
    assert "Take this box" not in page_of(at_the_bench)
    assert "has changed since its box was planned" in take(at_the_bench, offered, 1)
    assert BoxPlan.objects.count() == 1


@pytest.mark.parametrize("state", ["packed", "sent", "cancelled"])
def test_a_closed_order_takes_no_box(at_the_bench: Client, offered: Any, state: Any) -> None:
    Order.objects.update(state=state)
    assert "Take this box" not in page_of(at_the_bench)
    assert "its box is not planned again" in take(at_the_bench, offered, 1)
    assert BoxPlan.objects.count() == 1


def test_a_box_that_was_never_offered_is_refused(at_the_bench: Client, offered: Any) -> None:
    assert "There is no such box among those offered." in take(at_the_bench, offered, 9)


@pytest.mark.parametrize("key", ["", "none", "-1", "999999"])
def test_a_plan_that_is_not_there_is_404(at_the_bench: Client, offered: Any, key: Any) -> None:
    assert at_the_bench.post(reverse("take-offer", args=[17, 1, 1]), {"plan": key}).status_code == 404


def test_an_offer_keeps_only_what_differs_from_the_plan_it_was_found_with(offered: Any) -> None:
    plan = only_plan(offered)
    for offer in plan.choices:
        assert offer.differing.keys() < plan.content.keys()
        assert all(offer.differing[key] != plan.content[key] for key in offer.differing)
        assert adapter.plan_of(offer).order == adapter.plan_of(plan).order


def test_an_offer_is_never_changed_or_deleted(offered: Any) -> None:
    offer = only_plan(offered).choices[0]
    for act in (offer.save, offer.delete, Offer.objects.all().delete, lambda: Offer.objects.update(place=7)):
        with pytest.raises(ImmutableRowError):
            act()


def test_a_plan_made_before_there_were_offers_shows_none(at_the_bench: Client, planned: Any) -> None:
    assert 'id="offers"' not in page_of(at_the_bench)


def test_a_wooden_box_has_its_papers(offered: Any, settings: Any, tmp_path: Path) -> None:
    settings.PAPERS_DIR = tmp_path
    planning.take_offer(only_parcel(offered), only_plan(offered), wooden(offered))
    job = planning.request_papers(Order.objects.get())
    tasks.run_job(job.pk)
    assert sorted(Document.objects.values_list("kind", flat=True)) == ["box", "insert", "slip"]


@pytest.mark.skipif(CHROMIUM is None, reason="No Chromium here: the screens were not looked at.")
def test_the_boxes_offered_are_for_everyone(at_the_bench: Client, offered: Any, tmp_path: Path) -> None:
    for found in look_at(page_of(at_the_bench), tmp_path):
        assert found == {"texts": [], "targets": [], "overflow": 0, "broken": []}


def test_a_shop_without_a_carrier_is_offered_boxes_without_bills_and_no_claim_of_the_cheapest(
    at_the_bench: Client, ready: Order
) -> None:
    planning.plan_now(ready, 0.2)
    choices = plan_now_of(Order.objects.get()).choices
    assert choices
    assert all(chosen(offer).billed is None for offer in choices)
    section = section_of(page_of(at_the_bench))
    assert "Among the lightest" in section
    assert "heapest to send" not in section


def test_a_box_that_was_taken_by_no_hand_is_not_said_to_be(at_the_bench: Client, offered: Any) -> None:
    file, choice = adapter.order_file(offered), adapter.plan_of(only_plan(offered).choices[0])
    store_one(offered, file, choice)
    page = page_of(at_the_bench)
    assert "The first of the boxes offered:" in page
    assert "Chosen by hand" not in page


def test_what_has_no_price_is_named_with_a_link_to_where_it_is_written(log_in: Any, offered: Any) -> None:
    section = section_of(page_of(log_in("owner")))
    board = present(adapter.plan_of(only_plan(offered).choices[0]).box.board).name
    assert f"The price of {board} is not known." in section
    assert "boardrow/?q=" in section
    assert f'href="{reverse("settings")}#id_hour_price"' in section
    assert f'href="{reverse("settings")}#id_billed_price"' in section


def test_where_work_and_weight_have_a_price_the_first_box_costs_least_and_says_so(
    log_in: Any, ready: Any, forge: Any
) -> None:
    Shop.objects.update(hour_price=Decimal(30), billed_price=Decimal("2.50"), billed_price_unit="kg")
    order = Order.objects.get()
    planning.plan_now(order, 0.3)
    order = Order.objects.get()
    first = offered_boxes(only_plan(order), Wording(Units()))[0]
    assert first.title.startswith("Costs least")
    section = section_of(page_of(log_in("owner")))
    assert "mong the lightest" not in section
    assert "Compared with the first" not in section
    costs = [present(adapter.plan_of(offer).box.cost) for offer in plan_now_of(order).choices]
    for cost in costs:
        lines = sum((present(line.amount) for line in cost.lines if line.amount is not None), Decimal(0))
        assert str(Money(lines, cost.currency)) in section
    known = [cost.known + present(cost.sending) for cost in costs]
    assert known[0] <= min(known) * Decimal("1.02")
