"""Django's admin, open to who owns a shop at this moment, and to nobody else."""

from __future__ import annotations

from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop.access.login import ThrottledAdminLoginForm
from shop.models import User


class OwnersSite(admin.AdminSite):
    """The membership is asked at each request; what a user row says of staff and superusers does not count."""

    site_header = _("Stowright: the owner's desk")
    site_title = _("Stowright")
    index_title = _("All records")
    login_form = ThrottledAdminLoginForm

    def has_permission(self, request: HttpRequest) -> bool:
        return isinstance(request.user, User) and request.user.owned_shop_id is not None
