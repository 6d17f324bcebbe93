"""Clients of the fixed cast, and an order as far as it gets: ready, planned, papered, packed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from shop import adapter
from shop.models import Block, Document, Order, OrderLine, Piece
from shop.papers.context import context_from_plan
from shop.papers.storage import made_from
from shop.services import allocation, dispatch
from tests.shop.planned import act, only_plan, store_one


@pytest.fixture
def log_in(request: pytest.FixtureRequest) -> Any:
    """Gives a client logged in as one of the cast."""

    def as_(who: Any) -> Any:
        client = Client()
        client.force_login(request.getfixturevalue(who))
        return client

    return as_


@pytest.fixture
def at_the_bench(log_in: Any) -> Any:
    return log_in("owner")


_plans: Any = {}


def plan_for(order: Any) -> Any:
    """A real plan of the order, checked as the worker does; the search runs once for each content."""
    file = adapter.order_file(order)
    terms = adapter.terms_for(order, file.stock)
    key = (repr(file.order), repr(file.stock), repr(terms))
    if key not in _plans:
        _plans[key] = adapter.plan_with_offers(file, terms, seconds=0.3).answer
    plan = _plans[key]
    assert adapter.problems(file.content, adapter.plan_content(plan)) == []
    return store_one(order, file, plan)


@pytest.fixture
def ready(order: Order, line: OrderLine, piece: Piece, wax: Block) -> Any:
    """Order 17: one CH125 and a tin of wax, CH125-007 allocated."""
    OrderLine.objects.create(order=order, block=wax)
    allocation.allocate(order, [(line, piece)])
    return order


@pytest.fixture
def planned(ready: Order) -> Any:
    plan_for(ready)
    ready.refresh_from_db()
    return ready


@pytest.fixture
def paper(planned: Any, settings: Any, tmp_path: Path) -> Any:
    """A packing slip of the planned order, with a file in a folder of its own."""
    settings.PAPERS_DIR = tmp_path
    plan = only_plan(planned)
    hashed = made_from("slip", context_from_plan(plan, page_size="A4"))
    document = Document.objects.create(
        plan=plan, kind="slip", page_size="A4", sha256="5" * 64, made_from_hash=hashed, pages=2
    )
    document.path.write_bytes(b"%PDF-1.7 slip")
    return document


@pytest.fixture
def packed(planned: Any) -> Any:
    act(dispatch.pack, planned)
    return planned
