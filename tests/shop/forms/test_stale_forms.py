"""A form opened before somebody else stored the same row says what has changed meanwhile and by whom."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Customer, Piece, Shop, User
from tests.helpers import matched
from tests.shop.conftest import _member

pytestmark = pytest.mark.both_databases


@pytest.fixture
def anna(forge: Shop) -> Any:
    return _member(forge, "anna", "owner")


def shown(client: Any, address: Any) -> Any:
    """The page of a form and the values that a browser would send back."""
    page = client.get(address).content.decode()
    values = dict(re.findall(r'<input[^>]*name="([\w-]+)"[^>]*value="([^"]*)"', page))
    values |= {name: text.strip() for name, text in re.findall(r'<textarea[^>]*name="([\w-]+)"[^>]*>([^<]*)<', page)}
    for name, options in re.findall(r'<select[^>]*name="([\w-]+)"[^>]*>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options)
        values[name] = chosen[1] if chosen else ""
    return {name: value.replace("&#x27;", "'").replace("\n", "\r\n") for name, value in values.items()}


def browser(person: Any) -> Any:
    client = Client()
    client.force_login(person)
    return client


def sent(client: Any, address: Any, values: Any) -> Any:
    return client.post(address, values, follow=True).content.decode()


def test_a_stale_customer_is_told_of_and_keeps_what_is_now(owner: User, anna: Any, customer: Customer) -> None:
    address = reverse("customer", args=[customer.pk])
    mine, hers = browser(owner), browser(anna)
    opened = shown(mine, address)
    sent(hers, address, {**shown(hers, address), "phone": "0123"})
    answer = sent(mine, address, {**opened, "email": "a@example.org"})
    assert "Telephone has been changed meanwhile by anna: it was “–” and is “0123”." in answer
    assert Customer.objects.get().email == ""
    again = {**opened, "seen": matched(r'name="seen" value="([^"]+)"', answer)[1], "email": "a@example.org"}
    assert 'value="0123"' in answer
    sent(mine, address, {**again, "phone": "0123"})
    now = Customer.objects.get()
    assert (now.phone, now.email) == ("0123", "a@example.org")


def test_settings_changed_meanwhile_are_told_of_rule_by_rule(owner: User, anna: Any, forge: Shop) -> None:
    address = reverse("settings")
    mine, hers = browser(owner), browser(anna)
    opened, theirs = shown(mine, address), shown(hers, address)
    sent(hers, address, {**theirs, "top_pad": "30"})
    answer = sent(mine, address, {**opened, "clearance": "2"})
    assert "top_pad has been changed meanwhile by anna" in answer and "is “30”" in answer
    assert (Shop.objects.get().plan_rules["top_pad"], Shop.objects.get().plan_rules["clearance"]) == (30, 1.5)


def test_measures_taken_meanwhile_are_told_of(owner: User, anna: Any, piece: Piece) -> None:
    address = reverse("measure", args=[piece.pk])
    mine, hers = browser(owner), browser(anna)
    opened = {**shown(mine, address), "mark": "none"}
    sent(hers, address, {**opened, "seen": shown(hers, address)["seen"], "handle_length": "251"})
    answer = sent(mine, address, {**opened, "weight_g": "1441"})
    assert "Handle length" in answer and "has been changed meanwhile by anna" in answer
    assert Piece.objects.get().handle_length == 251


def test_sending_a_form_twice_is_no_news(owner: User, customer: Customer) -> None:
    address = reverse("customer", args=[customer.pk])
    client = browser(owner)
    typed = {**shown(client, address), "phone": "0123"}
    assert "meanwhile" not in sent(client, address, typed) + sent(client, address, typed)


def test_a_made_up_past_is_no_past(owner: User, customer: Customer) -> None:
    address = reverse("customer", args=[customer.pk])
    client = browser(owner)
    assert "meanwhile" not in sent(client, address, {**shown(client, address), "seen": "x:y:z", "phone": "9"})
    assert Customer.objects.get().phone == "9"
