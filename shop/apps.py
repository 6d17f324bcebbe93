"""The shop as a Django application."""

from __future__ import annotations

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ShopConfig(AppConfig):
    """Stowright's models, screens, API and tasks."""

    name = "shop"
    verbose_name = _("shop")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the system checks."""
        from shop.config import checks  # noqa: F401, PLC0415
