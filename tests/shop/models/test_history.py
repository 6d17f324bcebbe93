"""The history of what left the shop: entries are written once."""

from typing import Any

import pytest
from django.db import IntegrityError, transaction

from shop.models import ImmutableRowError, Order, OrderEvent, User

pytestmark = pytest.mark.both_databases


@pytest.fixture
def entry(order: Order, owner: User) -> Any:
    return OrderEvent.objects.create(order=order, kind="sent", by=owner)


def test_an_entry_is_never_changed(entry: Any) -> None:
    with pytest.raises(ImmutableRowError, match="never changed"):
        entry.save()
    with pytest.raises(ImmutableRowError, match="never changed"):
        OrderEvent.objects.update(why="other")


def test_an_entry_is_never_deleted(entry: Any) -> None:
    with pytest.raises(ImmutableRowError, match="never deleted"):
        entry.delete()
    with pytest.raises(ImmutableRowError, match="never deleted"):
        OrderEvent.objects.all().delete()


@pytest.mark.parametrize("kind", ["taken back", "repair"])
def test_what_comes_back_has_a_reason(order: Order, kind: Any) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        OrderEvent.objects.create(order=order, kind=kind)


def test_an_entry_outlives_whoever_wrote_it(entry: Any, owner: User) -> None:
    owner.delete()
    entry.refresh_from_db()
    assert (entry.kind, entry.by) == ("sent", None)
