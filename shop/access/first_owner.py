"""The first owner comes in by a one-time link: a name, a password, and the shop's name where there is none."""

from __future__ import annotations

from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop.access import permissions
from shop.forms import FirstOwnerForm
from shop.models import Shop


@never_cache
@sensitive_post_parameters("password", "password_again")
@require_http_methods(["GET", "POST"])
def first_owner(request: HttpRequest, token: str) -> HttpResponse:
    """Show the form while the link works; make the owner, once, and log in."""
    if not permissions.first_owner_link_works(token):
        raise Http404(_("This link has been used or is not known."))
    form = FirstOwnerForm(request.POST or None, shop_exists=Shop.objects.exists())
    if request.method == "POST" and form.is_valid():
        owner = permissions.use_first_owner_link(
            token,
            username=form.cleaned_data["username"],
            password=form.cleaned_data["password"],
            shop_name=form.cleaned_data.get("shop_name", ""),
        )
        login(request, owner)
        return redirect("/")
    return render(request, "screens/first_owner.html", {"form": form}, status=400 if form.errors else 200)
