"""The shop's settings, its members, carriers' rules to look at, and each person's own units and password."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.contrib.auth.forms import PasswordChangeForm
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop import adapter
from shop.access import permissions
from shop.forms import BandFormSet, MemberForm, OwnUnitsForm, RoleForm, SettingsForm, units_in
from shop.models import (
    AllowanceRow,
    BoardRow,
    FastenerRow,
    GradeRule,
    LabourTime,
    Membership,
    RateRule,
    SheetRow,
    Shop,
    WoodRow,
)
from shop.papers.cautions import for_laser
from shop.views.page import is_post, person, render


@login_required
@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    """The shop's address, units, paper, foam and planning rules; the owner's alone."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_settings")
    form = SettingsForm(request.POST or None, instance=shop)
    bands = _bands(form, shop, request.POST or None)
    if is_post(request) and all([form.is_valid(), bands.is_valid()]) and form.take_bands(bands):
        form.save()
        messages.success(request, _("The settings are stored. Orders whose plan no longer fits them say so."))
        return redirect("settings")
    shop.refresh_from_db()
    refused = bool(form.errors or any(bands.errors) or bands.non_form_errors())
    return _page(request, shop, may, form=form, bands=bands, status=400 if refused else 200)


@login_required
@sensitive_post_parameters("password")
@require_POST
def add_member(request: HttpRequest) -> HttpResponse:
    """Let someone in: a name, a first password and a role."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_members")
    form = MemberForm(request.POST, shop=shop)
    if not form.is_valid():
        return _page(request, shop, may, member_form=form, status=400)
    member = form.save()
    messages.success(request, _("%(member)s can log in.") % {"member": member})
    return redirect("settings")


@login_required
@require_POST
def change_member(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a member another role, or none."""
    membership, _may = permissions.get_object_or_404(request.user, Membership, require="edit_members", pk=pk)
    form = RoleForm(request.POST, membership=membership)
    try:
        if not form.is_valid():
            raise ValidationError(form.errors["role"].as_data())
        form.save()
    except Membership.DoesNotExist:
        messages.error(request, _("%(name)s is no longer here.") % {"name": membership.user})
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, _("The role of %(name)s is changed.") % {"name": membership.user})
    return redirect("settings")


@login_required
@require_http_methods(["GET", "POST"])
def own_units(request: HttpRequest) -> HttpResponse:
    """The units one person reads and types in."""
    shop, may = permissions.current_shop(request.user)
    form = OwnUnitsForm(request.POST or None, instance=request.user)
    if is_post(request) and form.is_valid():
        form.save()
        messages.success(request, _("Measures are now shown and read in your units."))
        return redirect("own-units")
    return render(request, "screens/own_units.html", shop, may, room="own", form=form)


@login_required
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def own_password(request: HttpRequest) -> HttpResponse:
    """A new password for whoever is logged in, who stays so here and is logged out elsewhere."""
    shop, may = permissions.current_shop(request.user)
    form = PasswordChangeForm(person(request), request.POST or None)
    if is_post(request) and form.is_valid():
        update_session_auth_hash(request, form.save())
        messages.success(request, _("Your password is changed."))
        return redirect("own-units")
    status = 400 if form.errors else 200
    return render(request, "screens/own_password.html", shop, may, room="own", status=status, form=form)


def _bands(form: SettingsForm, shop: Shop, data: Any = None) -> Any:
    """The planning rules by the heaviest head, bare numbers in the shop's units."""
    return BandFormSet(data, prefix="bands", initial=form.bands(), form_kwargs={"units": units_in(shop)})


def _page(request: HttpRequest, shop: Any, may: permissions.Permissions, *, status: int, **forms: Any) -> HttpResponse:
    form = forms.get("form") or SettingsForm(instance=shop)
    members = Membership.objects.filter(shop=shop).select_related("user").order_by("user__username")
    context = {
        "form": form,
        "bands": forms.get("bands") or _bands(form, shop),
        "member_form": forms.get("member_form") or MemberForm(shop=shop),
        "members": [
            (member, RoleForm(membership=member, prefix=None, auto_id=f"id_{member.pk}_%s")) for member in members
        ],
        "rules": RateRule.objects.filter(shop=shop),
        "boards": BoardRow.objects.filter(shop=shop),
        "wood": WoodRow.objects.filter(shop=shop),
        "sheets": SheetRow.objects.filter(shop=shop, count__gt=0),
        "hardware": FastenerRow.objects.filter(shop=shop),
        "times": [(row, adapter.work_called(row.what)) for row in LabourTime.objects.filter(shop=shop)],
        "allowances": AllowanceRow.objects.filter(shop=shop),
        "laser": for_laser(),
        "grade_rules": sorted(GradeRule.objects.filter(shop=shop), key=lambda row: row.place),
    }
    return render(request, "screens/settings.html", shop, may, room="settings", status=status, **context)
