"""Permissions: who gets which rows, and what they may do with them."""

import io
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.http import Http404

from shop.access import first_owner, permissions
from shop.models import FirstOwnerLink, Job, Membership, Order, Shop, User
from tests.helpers import matched, present

OWNERS_ALONE = {"edit_orders", "edit_prices", "retire_pieces", "take_sent_back", "edit_settings", "edit_members"}
SMITH: dict[str, Any] = {"username": "smith", "password": "anvil-and-tongs", "shop": {"name": "Smithy"}}
FORBIDDEN = {
    "owner": set(),
    "packer": OWNERS_ALONE | {"see_prices"},
    "bookkeeper": OWNERS_ALONE | {"measure", "allocate", "plan", "weigh_in", "send", "repair", "take_stock"},
}


@pytest.mark.parametrize("role", ["owner", "packer", "bookkeeper"])
@pytest.mark.parametrize("act", permissions.ACTS)
def test_a_role_may_do_what_it_is_for_and_nothing_else(
    request: pytest.FixtureRequest, order: Order, role: Any, act: Any
) -> None:
    user = request.getfixturevalue(role)
    if act in FORBIDDEN[role]:
        with pytest.raises(PermissionDenied, match="does not allow"):
            permissions.get_object_or_404(user, Order, require=act, number=17)
    else:
        assert permissions.get_object_or_404(user, Order, require=act, number=17)[0] == order


def test_a_stranger_does_not_learn_that_an_order_exists(stranger: User, order: Order) -> None:
    with pytest.raises(Http404):
        permissions.get_object_or_404(stranger, Order, pk=order.pk)


def test_a_stranger_gets_404_even_for_what_an_owner_may_not_be_denied(stranger: User, order: Order) -> None:
    with pytest.raises(Http404):
        permissions.get_object_or_404(stranger, Order, require="edit_settings", pk=order.pk)


def test_a_stranger_sees_only_the_rows_of_the_own_shop(stranger: User, order: Order) -> None:
    queryset, may = permissions.queryset_for(stranger, Order)
    assert list(queryset) == []
    assert may.allocate


def test_a_person_without_a_shop_gets_404(db: Any) -> None:
    user = User.objects.create_user(username="nobody", password="anvil-and-tongs")
    with pytest.raises(Http404, match="belong to no shop"):
        permissions.current_shop(user)


def test_someone_not_logged_in_gets_404(order: Order) -> None:
    with pytest.raises(Http404):
        permissions.queryset_for(AnonymousUser(), Order)


def test_a_person_set_inactive_gets_404(owner: User) -> None:
    owner.is_active = False
    with pytest.raises(Http404):
        permissions.current_shop(owner)


def test_an_act_that_no_role_knows_is_refused_as_a_programming_error(owner: User) -> None:
    with pytest.raises(ValueError, match="forge coins"):
        permissions.current_shop(owner)[1].require("forge coins")


def test_the_worker_reaches_a_jobs_order_but_no_prices(order: Order) -> None:
    found, may = permissions.order_of(Job.objects.create(order=order, kind="plan"))
    assert found == order
    assert may.plan
    assert not may.see_prices


def test_a_job_of_one_shop_never_reaches_an_order_of_another(order: Order, other_forge: Any) -> None:
    job = Job.objects.create(order=order, kind="plan")
    Job.objects.filter(pk=job.pk).update(shop=other_forge)
    job.refresh_from_db()
    with pytest.raises(Http404):
        permissions.order_of(job)


def test_the_first_owner_gets_in_by_the_link_and_owns_the_shop(db: Any) -> None:
    token = present(first_owner.first_owner_link())
    owner = first_owner.use_first_owner_link(
        token, username="smith", password="anvil-and-tongs", shop={"name": "Smithy"}
    )
    shop, may = permissions.current_shop(owner)
    assert shop.name == "Smithy"
    assert may.edit_members
    assert owner.check_password("anvil-and-tongs")


def test_the_first_owner_joins_the_shop_that_is_already_there(forge: Shop) -> None:
    token = present(first_owner.first_owner_link())
    owner = first_owner.use_first_owner_link(
        token, username="smith", password="anvil-and-tongs", shop={"name": "Smithy"}
    )
    assert Membership.objects.get(user=owner).shop == forge
    assert Shop.objects.count() == 1


def test_the_first_owners_link_works_once(db: Any) -> None:
    token = present(first_owner.first_owner_link())
    first_owner.use_first_owner_link(token, **SMITH)
    with pytest.raises(Http404):
        first_owner.use_first_owner_link(token, **{**SMITH, "username": "thief"})
    assert User.objects.count() == 1


def test_only_the_hash_of_the_first_owners_token_is_kept(db: Any) -> None:
    token = present(first_owner.first_owner_link())
    assert token not in FirstOwnerLink.objects.get().token_sha256
    assert len(FirstOwnerLink.objects.get().token_sha256) == 64


def test_a_newer_link_replaces_an_older_one(db: Any) -> None:
    first = present(first_owner.first_owner_link())
    second = present(first_owner.first_owner_link())
    assert not first_owner.first_owner_link_works(first)
    assert first_owner.first_owner_link_works(second)


def test_there_is_no_first_owner_link_once_someone_can_log_in(owner: User) -> None:
    assert first_owner.first_owner_link() is None


def test_whoever_runs_the_machine_makes_one_more_owner(owner: User) -> None:
    call_command("owner_link", stdout=(told := io.StringIO()))
    token = matched(r"/first-owner/([^/]+)/", told.getvalue())[1]
    made = first_owner.use_first_owner_link(token, username="smith", password="anvil-and-tongs")
    assert set(Membership.objects.filter(role="owner").values_list("user", flat=True)) == {owner.pk, made.pk}
    with pytest.raises(Http404):
        first_owner.use_first_owner_link(token, username="thief", password="anvil-and-tongs")


def test_a_shop_whose_only_owner_was_shut_out_begins_again_with_a_link(owner: User) -> None:
    User.objects.update(is_active=False)
    assert first_owner.first_owner_link_works(present(first_owner.first_owner_link()))


def test_a_link_made_before_a_user_came_by_another_way_is_dead(db: Any) -> None:
    token = present(first_owner.first_owner_link())
    early = User.objects.create_user(username="early", password="anvil-and-tongs")
    Membership.objects.create(shop=Shop.objects.create(name="Smithy"), user=early, role="owner")
    assert not first_owner.first_owner_link_works(token)
    with pytest.raises(Http404):
        first_owner.use_first_owner_link(token, **SMITH)
