"""Clients of the fixed cast, and an order as far as it gets: ready, planned, papered, packed."""

from __future__ import annotations

import functools
import json

import pytest
from django.test import Client

from shop import allocation, dispatch, door, planning
from shop.models import Document, OrderLine
from shop.papers.context import context_from_plan
from shop.papers.filing import made_from


@pytest.fixture
def log_in(request):
    """Gives a client logged in as one of the cast."""

    def as_(who):
        client = Client()
        client.force_login(request.getfixturevalue(who))
        return client

    return as_


@pytest.fixture
def at_the_bench(log_in):
    return log_in("owner")


@functools.cache
def _content(order_content, stock):
    return door.plan_order(json.loads(order_content), json.loads(stock), seconds=0.3)


def plan_for(order):
    """A real plan of the order, checked as the worker does; the search runs once for each content."""
    file = door.order_file(order)
    content = _content(json.dumps(file.content), json.dumps(file.stock))
    assert door.problems(file.content, content) == []
    return planning.store(order, file, json.loads(json.dumps(content)))


@pytest.fixture
def ready(order, line, piece, wax):
    """Order 17: one CH125 and a tin of wax, CH125-007 allocated."""
    OrderLine.objects.create(order=order, block=wax)
    allocation.allocate(order, [(line, piece)])
    return order


@pytest.fixture
def planned(ready):
    plan_for(ready)
    ready.refresh_from_db()
    return ready


@pytest.fixture
def paper(planned, settings, tmp_path):
    """A packing slip of the planned order, with a file in a folder of its own."""
    settings.PAPERS_DIR = tmp_path
    plan = planned.current_plan
    made_of = made_from("slip", context_from_plan(plan, page_size="A4"))
    document = Document.objects.create(
        plan=plan, kind="slip", page_size="A4", sha256="5" * 64, made_from_hash=made_of, pages=2
    )
    document.path.write_bytes(b"%PDF-1.7 slip")
    return document


@pytest.fixture
def packed(planned):
    dispatch.pack(planned)
    return planned
