"""What is old is put away after the days that the owner sets, and comes back byte for byte."""

import hashlib
import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import models
from django.http import FileResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.models import BoxPlan, Customer, Document, Offer, Order, OrderLine, PackedOffers, Piece, Shop, User
from shop.papers.clean_up import PutAway, clean_up
from shop.papers.storage import make_again, render_all
from shop.services import allocation, jobs, planning
from tests.helpers import instance, present
from tests.shop.planned import keep, only_parcel, only_plan

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def _apart(monkeypatch: pytest.MonkeyPatch, settings: Any, tmp_path: Path) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)
    settings.PAPERS_DIR = tmp_path / "papers"


@pytest.fixture
def ready(line: OrderLine, piece: Piece, stocked: Shop) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


@pytest.fixture
def old_and_new(ready: Order) -> Any:
    """Two plans of one order, both with offers; the first has papers, and is old."""
    first = only_plan(planning.plan_now(ready, 0.2))
    render_all(first)
    second = only_plan(planning.plan_now(Order.objects.get(), 0.2))
    grow_old(first)
    return first, second


def grow_old(plan: Any, days: Any = 400) -> None:
    then = timezone.now() - timedelta(days=days)
    models.QuerySet.update(BoxPlan.objects.filter(pk=plan.pk), created=then)
    Document.objects.filter(plan=plan).update(created=then)


def offers_of(plan: Any) -> Any:
    """Everything that is said of a plan's offers, as bytes."""
    rows = BoxPlan.objects.get(pk=plan.pk).choices
    return json.dumps([[row.place, row.content, row.missing, row.beside, row.snapshot] for row in rows]).encode()


def test_offers_of_an_old_plan_are_put_away_and_read_byte_for_byte(old_and_new: Any) -> None:
    first, second = old_and_new
    before, count = offers_of(first), Offer.objects.filter(plan=first).count()
    assert count and clean_up().plans == 1
    assert not Offer.objects.filter(plan=first).exists() and Offer.objects.filter(plan=second).exists()
    assert offers_of(first) == before
    assert len(PackedOffers.objects.get().data) < len(before) / 4
    assert clean_up() == PutAway(0, 0)


def test_what_an_open_order_goes_by_stays_however_old(ready: Order) -> None:
    plan = only_plan(planning.plan_now(ready, 0.2))
    taken = planning.take_offer(only_parcel(Order.objects.get()), plan, len(plan.choices) - 1)
    render_all(taken)
    for one in (plan, taken):
        grow_old(one)
    assert clean_up() == PutAway(0, 0)
    Order.objects.update(state="sent")
    assert clean_up() == PutAway(1, 0)
    assert present(Document.objects.first()).path.is_file()


def test_papers_of_an_older_plan_are_put_away_and_made_again_byte_for_byte(
    old_and_new: Any, owner: User, client: Client, customer: Customer
) -> None:
    papers = list(Document.objects.order_by("pk"))
    before = {paper.pk: paper.path.read_bytes() for paper in papers}
    customer.name = "Somebody else"
    customer.save()
    assert clean_up().papers == len(papers) == 3
    assert not any(paper.path.exists() for paper in papers)
    client.force_login(owner)
    for paper in papers:
        answer = instance(FileResponse, client.get(reverse("paper", args=[paper.pk])))
        assert answer.getvalue() == before[paper.pk]
        assert hashlib.sha256(paper.path.read_bytes()).hexdigest() == paper.sha256


def test_a_paper_that_does_not_come_out_the_same_is_not_written(old_and_new: Any, owner: User, client: Client) -> None:
    paper = Document.objects.filter(kind="slip").get()
    Document.objects.filter(pk=paper.pk).update(sha256="0" * 64)
    paper.refresh_from_db()
    assert not make_again(paper) and not paper.path.exists()
    client.force_login(owner)
    assert client.get(reverse("paper", args=[paper.pk])).status_code == 404


def test_a_paper_that_could_not_be_made_again_stays(old_and_new: Any) -> None:
    Document.objects.update(context={})
    assert clean_up().papers == 0
    assert all(paper.path.is_file() for paper in Document.objects.all())


def test_the_owner_sets_the_days_and_what_is_younger_stays(
    old_and_new: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    Shop.objects.update(keep_days=500)
    assert clean_up() == PutAway(0, 0)
    Shop.objects.update(keep_days=399)
    call_command("clean_up")
    assert "the boxes offered with 1 plans, and 3 papers" in capsys.readouterr().out


def test_a_box_that_was_put_away_can_still_be_looked_at(old_and_new: Any, owner: User, client: Client) -> None:
    first, _second = old_and_new
    clean_up()
    keep(Order.objects.get(), first)
    client.force_login(owner)
    assert client.get(reverse("order", args=[17])).status_code == 200
