"""Permissions by role: the only way from a person, or a job, to a shop's rows.

`current_shop`, `get_object_or_404` and `queryset_for` hand out what belongs to the person's shop together with what the
person may do. A stranger to a row gets 404, as if it did not exist; a member who may not do a thing gets 403 with a
sentence.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, TypeVar

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.db import models
from django.http import Http404
from django.utils.translation import gettext as _

from shop.models import Job, Membership, Order, Role, Shop, ShopOwned, User

Row = TypeVar("Row", bound=ShopOwned)


@dataclass(frozen=True)
class Permissions:
    """Permissions of one person in a shop; plain flags, so that templates can ask."""

    role: str = ""
    see_orders: bool = False
    edit_orders: bool = False
    see_prices: bool = False
    edit_prices: bool = False
    see_pieces: bool = False
    measure: bool = False
    retire_pieces: bool = False
    allocate: bool = False
    plan: bool = False
    print_papers: bool = False
    weigh_in: bool = False
    send: bool = False
    take_sent_back: bool = False
    take_stock: bool = False
    repair: bool = False
    edit_settings: bool = False
    edit_members: bool = False

    def require(self, act: str) -> None:
        """Raise PermissionDenied unless the flag named `act` is set."""
        if act not in ACTS:
            raise ValueError(f"“{act}” is not something a role can allow.")
        if not getattr(self, act):
            raise PermissionDenied(_("Your role in this shop does not allow this: %(act)s.") % {"act": ACTS[act]})


ACTS: dict[str, str] = {
    field.name: field.name.replace("_", " ") for field in fields(Permissions) if field.default is False
}

_EVERYTHING = dict.fromkeys(ACTS, True)
ROLES: dict[str, Permissions] = {
    Role.OWNER: Permissions(role=Role.OWNER, **_EVERYTHING),
    Role.PACKER: Permissions(
        role=Role.PACKER,
        see_orders=True,
        see_pieces=True,
        measure=True,
        allocate=True,
        plan=True,
        print_papers=True,
        weigh_in=True,
        send=True,
        take_stock=True,
        repair=True,
    ),
    Role.BOOKKEEPER: Permissions(
        role=Role.BOOKKEEPER, see_orders=True, see_prices=True, see_pieces=True, print_papers=True
    ),
}
# Who asked for a job was asked for their own right then; the worker itself needs no more than this.
WORKER = Permissions(role="worker", see_orders=True, see_pieces=True, plan=True, print_papers=True)


def current_shop(user: User | AnonymousUser) -> tuple[Shop, Permissions]:
    """The person's shop, and what the person may do there; 404 for a stranger."""
    if user.is_authenticated and user.is_active:
        # Who belongs to several shops is in the one joined first, at every request the same.
        membership = Membership.objects.select_related("shop").filter(user=user).order_by("pk").first()
        if membership is not None:
            return membership.shop, ROLES[membership.role]
    raise Http404(_("You belong to no shop here."))


def get_object_or_404(
    user: User | AnonymousUser, model: type[Row], require: str | None = None, **lookup: Any
) -> tuple[Row, Permissions]:
    """One row of the shop, and what the person may do; 404 if there is none, 403 if `require` is not allowed."""
    queryset, may = queryset_for(user, model)
    row = queryset.filter(**lookup).first()
    if row is None:
        raise Http404(_("There is no such %(what)s in your shop.") % {"what": model._meta.verbose_name})
    if require is not None:
        may.require(require)
    return row, may


def queryset_for(
    user: User | AnonymousUser, model: type[Row], require: str | None = None
) -> tuple[models.QuerySet[Row], Permissions]:
    """All rows of one kind in the person's shop, and what the person may do."""
    shop, may = current_shop(user)
    if require is not None:
        may.require(require)
    return model._default_manager.filter(shop=shop), may


def order_of(job: Job) -> tuple[Order, Permissions]:
    """The order a job is about, for the worker; 404 if job and order are of two shops."""
    order = Order.objects.select_related("shop", "customer").filter(pk=job.order_id, shop_id=job.shop_id).first()
    if order is None:
        raise Http404(_("The job's order is not in its shop."))
    return order, WORKER
