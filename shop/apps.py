"""The shop as a Django application."""

from __future__ import annotations

from django.apps import AppConfig
from django.contrib.admin import apps as admin_apps
from django.utils.translation import gettext_lazy as _


class ShopConfig(AppConfig):
    """Stowright's models, screens, API and tasks."""

    name = "shop"
    default = True
    verbose_name = _("shop")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the system checks, have changes recorded, and orders marked that they concern."""
        from shop.config import checks  # noqa: F401, PLC0415
        from shop.services import audit, outdated  # noqa: PLC0415

        audit.watch()
        outdated.watch()


class AdminOfTheOwner(admin_apps.AdminConfig):
    """Django's admin, which lets in by the membership alone."""

    default = False
    default_site = "shop.access.admin_site.OwnersSite"
