"""The first owner's page and the log-in."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.access import first_owner
from shop.models import FastenerRow, FirstOwnerLink, Shop, User, WoodRow

FILLED = {
    "username": "smith",
    "password": "anvil-and-tongs",
    "password_again": "anvil-and-tongs",
    "shop_name": "Smithy",
    "shop_country": "US",
    "shop_timezone": "America/New_York",
    "shop_currency": "USD",
    "shop_length_unit": "in",
    "shop_weight_unit": "lb",
    "shop_paper": "Letter",
}


@pytest.fixture
def page(db: Any) -> Any:
    return reverse("first-owner", args=[first_owner.first_owner_link()])


def test_the_first_owner_chooses_a_name_and_a_password_and_is_in(client: Client, page: Any) -> None:
    response = client.post(page, FILLED)
    assert response.status_code == 302
    assert client.session["_auth_user_id"] == str(User.objects.get().pk)
    assert Shop.objects.get().name == "Smithy"


def test_the_page_asks_for_a_shops_name_only_where_there_is_none(client: Client, page: Any) -> None:
    assert b"shop_name" in client.get(page).content
    Shop.objects.create(name="Forge")
    assert b"shop_name" not in client.get(page).content


def test_a_new_shop_is_what_its_owner_says_it_is(client: Client, page: Any) -> None:
    client.post(page, FILLED)
    shop = Shop.objects.get()
    assert (shop.country, shop.currency, shop.paper, shop.timezone) == ("US", "USD", "Letter", "America/New_York")
    assert (shop.length_unit, shop.weight_unit) == ("in", "lb")


def test_an_inch_shop_begins_with_inch_stock_and_inch_rules(client: Client, page: Any) -> None:
    client.post(page, FILLED)
    rules = Shop.objects.get().plan_rules
    inches = {round(size / 25.4 * 16) / 16: size for size in (*rules["thin"], *rules["sheets"])}
    assert list(inches) == [1 / 8, 1 / 4, 1 / 2, 1, 2]
    assert all(abs(inch * 25.4 - size) < 0.006 for inch, size in inches.items())
    assert rules["step"] == "1/16 in"
    wood = [float(row.thickness_mm) for row in WoodRow.objects.all()]
    assert sorted({round(size / 25.4 * 16) / 16 for size in wood}) == [1 / 4, 3 / 8, 1 / 2, 5 / 8, 3 / 4]
    assert all(size * 160 / 254 == round(size * 160 / 254, 6) for size in wood)
    for band in rules["by_head"]:
        for name in ("web", "wall", "base_pad"):
            assert abs(band[name] / 25.4 * 16 - round(band[name] / 25.4 * 16)) < 0.005
    screws = FastenerRow.objects.filter(kind="screw").values_list("name", flat=True)
    assert screws and all(name.endswith(" in") for name in screws)
    assert WoodRow.objects.filter(name="birch plywood 3/8 in").exists()


@pytest.mark.parametrize(
    "name", ["shop_country", "shop_length_unit", "shop_weight_unit", "shop_paper", "shop_currency"]
)
def test_nothing_about_a_new_shop_is_taken_for_granted(client: Client, page: Any, name: Any) -> None:
    answer = client.post(page, {**FILLED, name: ""})
    assert answer.status_code == 400
    assert f'id="id_{name}_error"' in answer.content.decode()
    assert not Shop.objects.exists()


def test_one_more_owner_by_the_command_takes_a_name_of_his_own(client: Client, owner: User) -> None:
    page = reverse("first-owner", args=[first_owner.owner_link_anew()])
    refused = client.post(page, {**FILLED, "username": "owner"})
    assert "“owner” is taken: choose another name." in refused.content.decode()
    assert client.post(page, FILLED).status_code == 302


def test_the_page_is_gone_once_used(client: Client, page: Any) -> None:
    client.post(page, FILLED)
    assert client.get(page).status_code == 404
    assert client.post(page, {**FILLED, "username": "thief"}).status_code == 404


def test_a_refused_password_does_not_use_up_the_link(client: Client, page: Any) -> None:
    assert client.post(page, {**FILLED, "password": "short", "password_again": "short"}).status_code == 400
    assert client.post(page, FILLED).status_code == 302


def test_a_link_nobody_made_is_404(client: Client, db: Any) -> None:
    assert client.get(reverse("first-owner", args=["made-up"])).status_code == 404


def test_a_member_logs_in(client: Client, packer: User) -> None:
    response = client.post(reverse("login"), {"username": "packer", "password": "anvil-and-tongs"})
    assert response.status_code == 302
    assert client.session["_auth_user_id"] == str(packer.pk)


def test_the_log_in_says_where_to_begin_while_nobody_can_log_in(client: Client, db: Any) -> None:
    assert "Nobody can log in yet." in client.get(reverse("login")).content.decode()


def test_the_log_in_does_not_say_so_once_someone_can(client: Client, packer: User) -> None:
    assert "Nobody can log in yet." not in client.get(reverse("login")).content.decode()


def test_a_wrong_password_is_refused(client: Client, packer: User) -> None:
    assert client.post(reverse("login"), {"username": "packer", "password": "tongs"}).status_code == 200
    assert "_auth_user_id" not in client.session


def test_the_link_ends_after_an_hour(client: Client, page: Any) -> None:
    FirstOwnerLink.objects.update(created_at=timezone.now() - timedelta(minutes=59))
    assert client.get(page).status_code == 200
    FirstOwnerLink.objects.update(created_at=timezone.now() - timedelta(minutes=61))
    assert client.get(page).status_code == 404
    assert client.post(page, FILLED).status_code == 404
    assert not User.objects.exists()


@pytest.mark.parametrize("password", [" " * 10, "\t" * 12, "aaaaaaaaaaaa", "ab ab ab ab ab"])
def test_blanks_and_one_sign_over_and_over_are_no_password(client: Client, page: Any, password: Any) -> None:
    answer = client.post(page, {**FILLED, "password": password, "password_again": password})
    assert answer.status_code == 400 and not User.objects.exists()


def test_the_first_owner_is_no_superuser(client: Client, page: Any) -> None:
    client.post(page, FILLED)
    assert not User.objects.get().is_superuser and not User.objects.get().is_staff
