"""The first owner comes in by a one-time link: a name, a password, and what the shop is where there is none."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from datetime import timedelta
from http import HTTPMethod
from typing import Any

from django.contrib.auth import login
from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop.forms import FirstOwnerForm
from shop.models import FirstOwnerLink, Membership, Role, Shop, User
from shop.services.members import owner_gets_in
from shop.services.shops import open_shop

WORKS_FOR = timedelta(hours=1)


def first_owner_link() -> str | None:
    """Make the one-time link for the first owner and return its token, or None when an owner can log in.

    Earlier links stop working. Only the token's hash is kept, so the token is shown once.
    """
    with transaction.atomic():
        return None if owner_gets_in() else _new_link(anew=False)


def owner_link_anew() -> str:
    """Make a one-time link for another owner though there is one: for who runs the machine."""
    with transaction.atomic():
        return _new_link(anew=True)


def _new_link(*, anew: bool) -> str:
    FirstOwnerLink.objects.filter(used_at__isnull=True).delete()
    token = secrets.token_urlsafe(32)
    FirstOwnerLink.objects.create(token_sha256=_sha256(token), anew=anew)
    return token


def first_owner_link_works(token: str) -> bool:
    """True for an hour, until the link has been used; while no owner can log in, or where it was made anew."""
    return _works(_unused(token))


def _works(links: QuerySet[FirstOwnerLink]) -> bool:
    return links.filter(anew=True).exists() or (links.exists() and not owner_gets_in())


def _unused(token: str) -> QuerySet[FirstOwnerLink]:
    # Not from the future either: a clock that is set back must not give a link more than its hour.
    made_lately = timezone.now() - WORKS_FOR
    return FirstOwnerLink.objects.filter(
        token_sha256=_sha256(token), used_at__isnull=True, created_at__gt=made_lately, created_at__lte=timezone.now()
    )


def use_first_owner_link(token: str, *, username: str, password: str, shop: Mapping[str, Any] | None = None) -> User:
    """Make the first owner, once: claims the link by a conditional update; 404 if it is used, unknown or too late.

    The owner joins every shop there is, or a new one of these fields, its name among them.
    """
    with transaction.atomic():
        # Asked before the claim, after which the link counts as used.
        works = _works(_unused(token))
        claimed = _unused(token).update(used_at=timezone.now())
        if not claimed or not works:
            raise _gone()
        owner = User.objects.create_user(username=username, password=password)
        shops = list(Shop.objects.all()) or [open_shop(**(shop or {}))]
        for owned in shops:
            Membership.objects.create(shop=owned, user=owner, role=Role.OWNER)
    return owner


@never_cache
@sensitive_post_parameters("password", "password_again")
@require_http_methods(["GET", "POST"])
def first_owner(request: HttpRequest, token: str) -> HttpResponse:
    """Show the form while the link works; make the owner, once, and log in."""
    if not first_owner_link_works(token):
        raise _gone()
    form = FirstOwnerForm(request.POST or None, shop_exists=Shop.objects.exists())
    if request.method == HTTPMethod.POST and form.is_valid():
        owner = use_first_owner_link(
            token,
            username=form.cleaned_data["username"],
            password=form.cleaned_data["password"],
            shop=form.shop_fields,
        )
        login(request, owner)
        return redirect("/")
    return render(request, "screens/first_owner.html", {"form": form}, status=400 if form.errors else 200)


def _sha256(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _gone() -> Http404:
    return Http404(_("This link has been used, is over an hour old or is not known: start again for another one."))
