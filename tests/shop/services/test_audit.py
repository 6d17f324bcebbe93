"""The record of changes: who, when, from what to what; it stays, and the owner reads it."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import AuditEntry, Customer, Membership, Order, Piece, Product, Reading, User
from shop.models.base import ImmutableRowError
from shop.services import dispatch
from shop.services.measurements import record
from tests.helpers import present
from tests.shop.services.test_measurements import read

pytestmark = pytest.mark.both_databases


def newest(act: Any, kind: Any) -> Any:
    return AuditEntry.objects.filter(act=act, kind=kind).first()


def test_a_reading_struck_out_stays_on_record_with_who_did_it(client: Client, packer: User, piece: Piece) -> None:
    reading = Reading.objects.create(piece=piece, place="face", scale="HRC", value="54", when="after")
    client.force_login(packer)
    client.post(reverse("strike-reading", args=[piece.pk, reading.pk]))
    assert not Reading.objects.exists()
    entry = newest("struck out", "reading")
    assert (entry.by, entry.shop, float(entry.before["value"]), entry.row) == (packer, piece.shop, 54, reading.pk)


def test_measures_taken_again_keep_what_they_were(piece: Piece, product: Product) -> None:
    was = float(present(piece.weight_g))
    record(piece, read(product))
    entry = newest("changed", "piece")
    assert float(entry.before["weight_g"]) == was and entry.after["weight_g"] == "1360.777110000"
    assert "number" not in entry.before


def test_a_role_that_changes_is_on_record(client: Client, owner: User, packer: User) -> None:
    client.force_login(owner)
    client.post(reverse("change-member", args=[Membership.objects.get(user=packer).pk]), {"role": "bookkeeper"})
    entry = newest("changed", "membership")
    assert (entry.by, entry.before, entry.after) == (owner, {"role": "packer"}, {"role": "bookkeeper"})


def test_a_cancelled_order_is_on_record(order: Order) -> None:
    dispatch.cancel(order)
    assert newest("marked cancelled", "order").before == {"state": "draft"}


def test_log_ins_are_on_record_the_refused_ones_too(client: Client, packer: User) -> None:
    client.post(reverse("login"), {"username": "packer", "password": "wrong"})
    client.post(reverse("login"), {"username": "packer", "password": "anvil-and-tongs"})
    acts = list(
        AuditEntry.objects.filter(name="packer", kind="user").exclude(act="entered").values_list("act", "by_name")
    )
    assert acts == [("logged in", "packer"), ("was refused: wrong password", "packer")]


def test_a_password_is_never_on_record(packer: User) -> None:
    packer.set_password("another-long-one")
    packer.save()
    assert newest("changed", "user").after == {"password": "changed"}
    assert "pbkdf2" not in str(list(AuditEntry.objects.values())) and "md5$" not in str(
        list(AuditEntry.objects.values())
    )


def test_an_entry_is_never_changed_nor_deleted(customer: Customer) -> None:
    entry = present(AuditEntry.objects.first())
    for act in (entry.save, entry.delete, AuditEntry.objects.all().delete, lambda: AuditEntry.objects.update(act="x")):
        with pytest.raises(ImmutableRowError):
            act()


def test_the_owner_reads_it_and_nobody_else(
    client: Client, owner: User, packer: User, stranger: User, customer: Customer
) -> None:
    client.force_login(owner)
    assert "entered A. Carpenter" in client.get(reverse("trail")).content.decode()
    client.force_login(packer)
    assert client.get(reverse("trail")).status_code == 403
    client.force_login(stranger)
    assert "A. Carpenter" not in client.get(reverse("trail")).content.decode()


def test_what_changed_is_said_in_the_shops_words(client: Client, owner: User, order: Order) -> None:
    """A state and a moment are stored as the program has them, and read as the screens say them."""
    client.force_login(owner)
    found = AuditEntry.objects.filter(kind="order").latest("at").changes
    said = {name: after for name, _, after in found}
    assert said["state"] == "taken"
    assert re.fullmatch(r"20\d\d-\d\d-\d\d \d\d:\d\d", said["placed at"])
    assert "draft" not in client.get(reverse("trail")).content.decode()
