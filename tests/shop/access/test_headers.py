"""What every answer says of itself: no script but our own, nothing of a person's pages kept."""

from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from shop.models import User


@pytest.mark.parametrize("path", ["/", "/rack/", "/settings/", "/customers/", "/nowhere/", "/admin/", "/api/orders/"])
def test_a_personal_page_is_kept_nowhere(client: Client, owner: User, path: Any) -> None:
    client.force_login(owner)
    assert client.get(path).headers["Cache-Control"] == "no-store"


def test_the_log_in_page_is_kept_nowhere(client: Client, db: Any) -> None:
    assert client.get("/log-in/").headers["Cache-Control"] == "no-store"


def test_a_file_of_ours_may_be_kept(client: Client, db: Any) -> None:
    assert finders.find("shop/stowright.css")
    answer = client.get("/static/shop/stowright.css")
    answer.close()
    assert "public" in answer.headers["Cache-Control"]


@pytest.mark.parametrize("path", ["/", "/log-in/", "/nowhere/"])
def test_no_script_runs_that_stands_in_a_page(client: Client, owner: User, path: Any) -> None:
    client.force_login(owner)
    policy = dict(part.split(" ", 1) for part in client.get(path).headers["Content-Security-Policy"].split("; "))
    assert policy["script-src"] == "'self'" and policy["object-src"] == "'none'"
