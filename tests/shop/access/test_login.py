"""The log-in is slowed after so many tries of one name from one address, and nobody else is held up."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from waitress.proxy_headers import proxy_headers_middleware

from shop.access import login
from shop.models import LoginTries, User
from shop.worker.web_server import in_front

RIGHT, WRONG = "anvil-and-tongs", "tongs"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Any:
    """The time of day, moved by hand."""
    now = [timezone.now()]
    monkeypatch.setattr(timezone, "now", lambda: now[0])
    return now


def enter(
    client: Any, name: str = "packer", password: Any = WRONG, address: str = "192.0.2.1", to: str = "login"
) -> Any:
    data = {"username": name, "password": password}
    return client.post(reverse(to), data, REMOTE_ADDR=address)


def use_up(client: Any, **more: Any) -> None:
    for _try in range(login.TRIES):
        assert enter(client, **more).status_code == 200


def test_after_so_many_tries_the_minutes_to_wait_are_told(client: Client, packer: User, clock: Any) -> None:
    use_up(client)
    answer = enter(client)
    assert answer.status_code == 429
    assert "Too many tries to log in from here: wait 10 minutes, then try again." in answer.content.decode()
    clock[0] += timedelta(minutes=8.5)
    assert "wait 2 minutes" in enter(client).content.decode()
    clock[0] += timedelta(minutes=1)
    assert "wait 1 minute, then" in enter(client).content.decode()


def test_the_right_password_does_not_help_before_the_wait_is_over(client: Client, packer: User) -> None:
    use_up(client)
    assert enter(client, password=RIGHT).status_code == 429
    assert "_auth_user_id" not in client.session


def test_the_password_is_not_even_looked_at(client: Client, packer: User, monkeypatch: pytest.MonkeyPatch) -> None:
    use_up(client)
    monkeypatch.setattr("django.contrib.auth.forms.authenticate", lambda *_a, **_k: pytest.fail("looked at"))
    assert enter(client, password=RIGHT).status_code == 429


def test_when_the_wait_is_over_there_are_tries_again(client: Client, packer: User, clock: Any) -> None:
    use_up(client)
    assert enter(client, password=RIGHT).status_code == 429
    clock[0] += timedelta(seconds=login.WAIT_S + 1)
    assert enter(client, password=RIGHT).status_code == 302


def test_a_log_in_gives_all_tries_back(client: Client, packer: User) -> None:
    for _try in range(login.TRIES - 1):
        enter(client)
    assert enter(client, password=RIGHT).status_code == 302
    use_up(client)


def test_another_name_from_the_same_address_is_not_held_up(client: Client, packer: User, owner: User) -> None:
    use_up(client)
    assert enter(client, name="owner", password=RIGHT).status_code == 302


def test_the_same_name_from_another_address_is_not_held_up(client: Client, packer: User) -> None:
    use_up(client)
    assert enter(client, password=RIGHT, address="192.0.2.2").status_code == 302


@pytest.mark.parametrize("alike", ["Packer", " packer", "PACKER", "\uff50acker"])
def test_other_spellings_of_a_name_have_no_tries_of_their_own(client: Client, packer: User, alike: Any) -> None:
    use_up(client)
    assert enter(client, name=alike).status_code == 429


def test_a_name_that_nobody_has_is_answered_alike(client: Client, db: Any) -> None:
    use_up(client, name="nobody")
    assert enter(client, name="nobody").status_code == 429


def test_a_form_left_empty_is_no_try(client: Client, packer: User) -> None:
    for _try in range(login.TRIES + 1):
        enter(client, password="")
    assert enter(client, password=RIGHT).status_code == 302


def test_the_admins_door_counts_the_same_tries(client: Client, owner: User) -> None:
    use_up(client, name="owner")
    assert "Too many tries" in enter(client, name="owner", password=RIGHT, to="admin:login").content.decode()


def test_the_owner_still_gets_in_by_the_admins_door(client: Client, owner: User) -> None:
    assert enter(client, name="owner", password=RIGHT, to="admin:login").status_code == 302


def test_a_list_of_names_from_one_address_is_held_up(client: Client, db: Any) -> None:
    answers = [enter(client, name=f"smith{number}").status_code for number in range(40)]
    assert answers == [200] * login.TRIES_OF_AN_ADDRESS + [429] * (40 - login.TRIES_OF_AN_ADDRESS)


def test_log_ins_that_are_right_do_not_use_up_an_address(client: Client, packer: User) -> None:
    for _time in range(login.TRIES_OF_AN_ADDRESS + 5):
        assert enter(client, password=RIGHT).status_code == 302


def test_the_addresses_of_one_house_count_as_one(client: Client, packer: User) -> None:
    for number in range(login.TRIES):
        enter(client, address=f"2001:db8::{number + 1}")
    assert enter(client, address="2001:db8::99").status_code == 429
    assert enter(client, address="2001:db8:0:1::99").status_code == 200


def test_a_clock_set_back_locks_nobody_out(client: Client, packer: User, clock: Any) -> None:
    use_up(client)
    clock[0] -= timedelta(hours=1)
    assert enter(client, password=RIGHT).status_code == 302


def test_what_another_process_counted_counts_here(client: Client, packer: User) -> None:
    """The tries are rows: a process that starts now finds them."""
    use_up(client)
    assert LoginTries.objects.get(tries=login.TRIES, key=login._key("192.0.2.1", "packer"))
    assert enter(Client(), password=RIGHT).status_code == 429


def test_tries_that_count_no_more_are_thrown_away(client: Client, packer: User, clock: Any) -> None:
    use_up(client)
    clock[0] += timedelta(seconds=login.WAIT_S + 1)
    enter(client, name="someone else", address="192.0.2.7")
    assert LoginTries.objects.count() == 2


def seen(proxy: Any, peer: str = "127.0.0.1") -> Any:
    """What the shop gets to see of a request that names two addresses and HTTPS in its headers."""
    told = {"HTTP_X_FORWARDED_FOR": "203.0.113.9, 192.0.2.7", "HTTP_X_FORWARDED_PROTO": "https"}
    environ = {"REMOTE_ADDR": peer, "wsgi.url_scheme": "http", "HTTP_HOST": "forge.example", **told}
    proxy_headers_middleware(lambda seen, _answer: environ.update(seen), **in_front(proxy))(environ, None)
    return [environ["REMOTE_ADDR"], environ["wsgi.url_scheme"], environ.get("HTTP_X_FORWARDED_PROTO")]


def test_behind_a_web_server_with_a_certificate_the_address_is_the_one_it_names_last() -> None:
    assert seen("127.0.0.1") == ["192.0.2.7", "https", "https"]


def test_nobody_but_the_web_server_in_front_says_what_address_they_come_from() -> None:
    assert seen("127.0.0.1", peer="192.0.2.66") == ["192.0.2.66", "http", None]
    assert seen("") == ["127.0.0.1", "http", None]
