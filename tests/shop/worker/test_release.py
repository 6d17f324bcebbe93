"""A release install, made from requirements.txt alone, runs the shop on real PostgreSQL and Redis."""

import json
import re
import shutil
import subprocess
import urllib.parse
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any

import pytest

from tests.helpers import matched
from tests.shop.servers import ROOT, House, free_port, postgres, postgres_program, redis_server, wait_until

PYTHON = ROOT / ".venv" / "release" / "bin" / "python"
PASSWORD = "anvil-and-tongs"

pytestmark = [
    pytest.mark.skipif(not PYTHON.exists(), reason="the release environment is not made; .ci/prepare.py test makes it"),
    pytest.mark.skipif(not postgres_program("initdb"), reason="PostgreSQL is not installed: apt-get install it"),
    pytest.mark.skipif(not shutil.which("redis-server"), reason="Redis is not installed; apt-get install redis-server"),
]


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Any]:
    with postgres() as database, redis_server(free_port()) as broker:
        opened = House(tmp_path, database, broker, python=str(PYTHON), settings="shop.config.settings")
        yield opened
        opened.close()


class Visitor:
    """A browser without a screen: keeps cookies and sends the token of a form."""

    def __init__(self, address: Any) -> None:
        self.address = address
        self.cookies = CookieJar()
        self._opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))

    def open(self, path: Any, values: Any = None) -> Any:
        token = next((cookie.value for cookie in self.cookies if cookie.name == "csrftoken"), "")
        heads = {"X-CSRFToken": token, "Referer": self.address, "Content-Type": "application/json"}
        data = None if values is None else json.dumps(values).encode()
        if path.startswith("log-in") and values is not None:
            data, heads["Content-Type"] = urllib.parse.urlencode(values).encode(), "application/x-www-form-urlencoded"
        request = urllib.request.Request(self.address + path, data, heads)
        with self._opener.open(request, timeout=60) as answer:
            return answer.status, answer.read().decode()


def log_in(house: Any, address: Any) -> Any:
    house.run(
        "from shop.models import Membership, Shop, User; "
        f"user = User.objects.create_user(username='smith', password='{PASSWORD}'); "
        "Membership.objects.create(shop=Shop.objects.get(), user=user, role='owner')"
    )
    visitor = Visitor(address)
    visitor.open("log-in/")
    visitor.open("log-in/", {"username": "smith", "password": PASSWORD})
    return visitor


def test_a_release_holds_nothing_of_the_development_tools() -> None:
    done = subprocess.run([str(PYTHON), "-m", "pip", "list", "--format=json"], capture_output=True, check=True)
    names = {package["name"].lower() for package in json.loads(done.stdout)}
    pinned = set(re.findall(r"^([\w.-]+)==", (ROOT / "requirements.txt").read_text(), re.MULTILINE))
    assert {name.replace("_", "-") for name in names} - {"pip", "setuptools"} == pinned


def test_a_release_plans_the_demonstration_and_what_is_asked_for_in_the_web(house: Any, tmp_path: Path) -> None:
    out = tmp_path / "out"
    server = house.start("manage.py", "serve", "--out", str(out), PORT=str(free_port()))
    wait_until(lambda: "Stowright is at" in house.log(server), "the demo is planned and served", server, patience_s=300)
    assert list(out.glob("order-*-plan.json")) and list(out.glob("*.pdf"))
    assert "could not" not in house.log(server)
    visitor = log_in(house, matched(r"Stowright is at (\S+)", house.log(server))[1])
    number = house.run(
        "from shop.models import Order; print(Order.objects.filter(consignment=None, lines__allocations__isnull=False)"
        ".order_by('number').values_list('number', flat=True)[0])"
    )
    status, answer = visitor.open(f"api/orders/{number}/plan/", {"seconds": 1})
    assert status == 202, answer
    job = json.loads(answer)["id"]
    wait_until(lambda: '"done"' in visitor.open(f"api/jobs/{job}/")[1], "the order is planned", server, patience_s=300)
    assert json.loads(visitor.open(f"api/orders/{number}/plan/")[1])["content"]["status"] == "planned"
    assert "ended" not in house.log(server), "the worker was started again"
