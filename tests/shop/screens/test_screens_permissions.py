"""Who sees which screen, and who may do what on it."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Customer, Membership, Order, OrderLine, Piece, Reading, Shop, User

ROLES = ("owner", "packer", "bookkeeper")
LISTS = {
    "orders": ROLES,
    "customers": ROLES,
    "rack": ROLES,
    "steel": ROLES,
    "own-units": ROLES,
    "own-password": ROLES,
    "settings": ("owner",),
    "quotes": ROLES,
    "ask-quote": ROLES,
    "accounts": ("owner", "bookkeeper"),
    "paid": ("owner", "bookkeeper"),
    "lifting": ROLES,
    "accounts-file": ("owner", "bookkeeper"),
    "prices": ("owner", "bookkeeper"),
    "prices-file": ("owner", "bookkeeper"),
}
FORMS = {"new-order": ("owner",), "new-customer": ("owner",), "new-piece": ("owner", "packer")}
OF_AN_ORDER = {
    "add-line": ("owner",),
    "take-from-rack": ("owner", "packer"),
    "plan-box": ("owner", "packer"),
    "print-papers": ROLES,
    "pack": ("owner", "packer"),
    "weigh-empty": ("owner", "packer"),
    "weigh-in": ("owner", "packer"),
    "send-parcel": ("owner", "packer"),
    "take-sent-back": ("owner",),
    "unpack": ("owner", "packer"),
    "cancel-order": ("owner",),
}
OF_A_PARCEL = ("pack", "weigh-empty", "weigh-in", "send-parcel", "take-sent-back", "unpack")
OF_A_PIECE = {
    "measure": ("owner", "packer"),
    "add-reading": ("owner", "packer"),
    "retire": ("owner",),
    "take-in-for-repair": ("owner", "packer"),
    "give-back": ("owner", "packer"),
    "take-return": ("owner", "packer"),
    "bring-back": ("owner",),
    "correct-number": ("owner", "packer"),
}


def address(name: str) -> str:
    """The address of an act on order 17, or on its one parcel."""
    return reverse(name, args=[17, 1] if name in OF_A_PARCEL else [17])


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(("name", "allowed"), {**LISTS, **FORMS}.items())
def test_a_screen_opens_for_the_roles_it_is_for(log_in: Any, role: Any, name: Any, allowed: Any) -> None:
    assert log_in(role).get(reverse(name)).status_code == (200 if role in allowed else 403)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(("name", "allowed"), OF_AN_ORDER.items())
def test_an_order_is_changed_by_the_roles_that_may(
    log_in: Any, planned: Any, role: Any, name: Any, allowed: Any
) -> None:
    answer = log_in(role).post(address(name))
    assert (answer.status_code == 403) == (role not in allowed)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(("name", "allowed"), OF_A_PIECE.items())
def test_a_piece_is_changed_by_the_roles_that_may(
    log_in: Any, piece: Piece, role: Any, name: Any, allowed: Any
) -> None:
    answer = log_in(role).post(reverse(name, args=[piece.pk]))
    assert (answer.status_code == 403) == (role not in allowed)


@pytest.mark.parametrize("name", ["order", "box-progress"])
def test_an_order_does_not_exist_for_a_stranger(log_in: Any, planned: Any, name: Any) -> None:
    assert log_in("stranger").get(reverse(name, args=[17])).status_code == 404


@pytest.mark.parametrize("name", OF_AN_ORDER)
def test_a_stranger_changes_no_order(log_in: Any, planned: Any, name: Any) -> None:
    assert log_in("stranger").post(address(name)).status_code == 404


@pytest.mark.parametrize("name", OF_A_PIECE)
def test_a_stranger_changes_no_piece(log_in: Any, piece: Piece, name: Any) -> None:
    assert log_in("stranger").post(reverse(name, args=[piece.pk])).status_code == 404


def test_a_piece_does_not_exist_for_a_stranger(log_in: Any, piece: Piece) -> None:
    assert log_in("stranger").get(reverse("piece", args=[piece.pk])).status_code == 404


def test_a_customer_does_not_exist_for_a_stranger(log_in: Any, customer: Customer) -> None:
    assert log_in("stranger").get(reverse("customer", args=[customer.pk])).status_code == 404
    assert log_in("stranger").post(reverse("customer", args=[customer.pk]), {"name": "Other"}).status_code == 404


@pytest.mark.parametrize(("role", "status"), [("owner", 400), ("packer", 403), ("bookkeeper", 403)])
def test_a_customer_is_looked_at_by_all_and_changed_by_the_owner(
    log_in: Any, customer: Customer, role: Any, status: Any
) -> None:
    assert log_in(role).get(reverse("customer", args=[customer.pk])).status_code == 200
    assert log_in(role).post(reverse("customer", args=[customer.pk]), {"name": ""}).status_code == status


def test_a_paper_does_not_exist_for_a_stranger(log_in: Any, paper: Any) -> None:
    assert log_in("stranger").get(reverse("paper", args=[paper.pk])).status_code == 404


@pytest.mark.parametrize("name", ["orders", "customers", "rack", "steel"])
def test_a_strangers_lists_show_nothing_of_ours(log_in: Any, planned: Any, name: Any) -> None:
    page = log_in("stranger").get(reverse(name)).content.decode()
    assert "CH125" not in page
    assert "A. Carpenter" not in page
    assert "Bar 7" not in page


def test_a_line_or_an_allocation_of_another_shop_is_404(log_in: Any, ready: Order, line: OrderLine) -> None:
    client = log_in("stranger")
    held = line.allocations.get()
    assert client.post(reverse("remove-line", args=[17, line.pk])).status_code == 404
    assert client.post(reverse("release", args=[17, held.pk])).status_code == 404


def test_a_member_of_another_shop_is_404(log_in: Any, packer: User) -> None:
    member = Membership.objects.get(user=packer)
    assert log_in("stranger").post(reverse("change-member", args=[member.pk]), {"role": ""}).status_code == 404


@pytest.mark.parametrize("name", [*LISTS, *FORMS])
def test_someone_not_logged_in_is_sent_to_the_log_in(client: Client, db: Any, name: Any) -> None:
    answer = client.get(reverse(name))
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("login"))


@pytest.mark.parametrize("name", OF_AN_ORDER)
def test_looking_never_changes_an_order_and_leads_back_to_it(at_the_bench: Client, planned: Any, name: Any) -> None:
    before = Order.objects.values().get()
    answer = at_the_bench.get(address(name))
    assert (answer.status_code, answer["Location"]) == (302, "/orders/17/")
    assert Order.objects.values().get() == before


@pytest.mark.parametrize(
    ("name", "page"), [("add-reading", "/rack/{}/"), ("retire", "/rack/{}/"), ("change-member", "/settings/")]
)
def test_looking_at_what_is_only_sent_to_leads_to_its_page(
    at_the_bench: Client, piece: Piece, name: Any, page: Any
) -> None:
    assert at_the_bench.get(reverse(name, args=[piece.pk]))["Location"] == page.format(piece.pk)


def test_the_owner_and_the_bookkeeper_see_prices(log_in: Any, planned: Any) -> None:
    for role in ("owner", "bookkeeper"):
        assert "145.00 EUR" in log_in(role).get("/orders/17/").content.decode()


def test_the_packer_sees_no_price(log_in: Any, planned: Any) -> None:
    page = log_in("packer").get("/orders/17/").content.decode()
    assert "145.00" not in page
    assert "EUR" not in page


def test_the_bookkeeper_is_offered_nothing_to_change_but_printing(log_in: Any, planned: Any) -> None:
    page = log_in("bookkeeper").get("/orders/17/").content.decode()
    assert page.count('<form method="post"') + page.count('<form class="leave"') == 2  # printing and logging out
    assert page.count("<form") == 3  # and cutting files, which change nothing
    assert reverse("print-papers", args=[17]) in page


def test_a_role_that_may_not_is_told_so_on_our_own_page(log_in: Any, forge: Shop) -> None:
    answer = log_in("packer").get(reverse("settings"))
    assert "Your role in this shop does not allow this" in answer.content.decode()
    assert "403.html" in [template.name for template in answer.templates]


def test_what_is_not_there_is_told_on_our_own_page(at_the_bench: Client) -> None:
    answer = at_the_bench.get("/orders/999/")
    assert answer.status_code == 404
    assert "There is nothing here" in answer.content.decode()


def test_a_member_finds_the_way_back_from_what_is_not_there(at_the_bench: Client) -> None:
    assert 'href="/rack/"' in at_the_bench.get("/nowhere/").content.decode()


def test_a_stranger_to_every_shop_is_told_so_without_a_menu(client: Client, db: Any) -> None:
    client.force_login(User.objects.create_user(username="nobody", password="anvil-and-tongs"))
    page = client.get("/").content.decode()
    assert "You belong to no shop here." in page
    assert 'href="/rack/"' not in page


def test_a_fault_of_ours_is_told_on_our_own_page(at_the_bench: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: Any, **_kwargs: Any) -> None:
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr("shop.views.orders.order_statuses", broken)
    at_the_bench.raise_request_exception = False
    answer = at_the_bench.get("/")
    assert answer.status_code == 500
    assert "The fault is ours" in answer.content.decode()


def test_a_form_from_elsewhere_is_refused(planned: Any, owner: User) -> None:
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    client.force_login(owner)
    answer = client.post(reverse("cancel-order", args=[17]))
    assert answer.status_code == 403
    assert "Nothing has been stored" in answer.content.decode()


@pytest.mark.parametrize(("who", "status"), [("owner", 302), ("packer", 302), ("bookkeeper", 403), ("stranger", 404)])
def test_a_reading_is_struck_out_by_those_who_may_measure(log_in: Any, piece: Piece, who: Any, status: Any) -> None:
    reading = Reading.objects.create(piece=piece, place="face", value="54.5")
    answer = log_in(who).post(reverse("strike-reading", args=[piece.pk, reading.pk]))
    assert (answer.status_code, Reading.objects.exists()) == (status, status != 302)
