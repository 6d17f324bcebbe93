"""Owners who get in: a shop is never left without one."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from shop.models import Membership, Role, Shop, User
from shop.services.errors import CannotLeave


def owners_of(shop: Shop | None = None) -> QuerySet[Membership]:
    """The memberships of owners who can log in, of one shop or of any."""
    owners = Membership.objects.filter(role=Role.OWNER, user__is_active=True)
    return owners if shop is None else owners.filter(shop=shop)


def owner_gets_in() -> bool:
    """Tell whether any owner can log in."""
    return owners_of().exists()


def refuse_no_owner(user: User) -> None:
    """Raise CannotLeave where a shop would be left without an owner if this person could not log in any more."""
    for held in Membership.objects.filter(user=user, role=Role.OWNER).select_related("shop"):
        # One at a time: two owners who each shut the other out would leave none.
        Shop.objects.select_for_update().get(pk=held.shop_id)
        if not owners_of(held.shop).exclude(user=user).exists():
            raise CannotLeave(
                _("%(user)s is the only owner of %(shop)s who can log in: make someone else an owner first.")
                % {"user": user, "shop": held.shop}
            )
