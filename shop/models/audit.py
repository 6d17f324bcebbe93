"""The record of changes: who changed what, when, from what to what. Entries stay for good."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.apps import apps
from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError
from .people import Shop

EMPTY = (None, "")
"""Values of a field in which nothing was written."""


class AuditEntryQuerySet(models.QuerySet["AuditEntry"]):
    """Entries; none is ever changed or deleted."""

    def update(self, **kwargs: Any) -> int:
        raise ImmutableRowError("An entry of the record of changes is never changed.")

    def delete(self) -> Any:
        raise ImmutableRowError("An entry of the record of changes is never deleted.")


class AuditEntry(models.Model):
    """One change, or one log-in."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, null=True, related_name="+", verbose_name=_("shop"))
    at = models.DateTimeField(_("when"), default=timezone.now, db_index=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+")
    by_name = models.CharField(_("by"), max_length=150, blank=True)
    act = models.CharField(_("what happened"), max_length=60)
    kind = models.CharField(_("kind of row"), max_length=60, blank=True)
    row = models.PositiveBigIntegerField(_("row"), null=True)
    name = models.CharField(_("of what"), max_length=200, blank=True)
    before = models.JSONField(_("before"), default=dict)
    after = models.JSONField(_("after"), default=dict)

    objects = AuditEntryQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name = _("change on record")
        verbose_name_plural = _("changes on record")
        indexes = [models.Index(fields=["kind", "row"])]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.by_name}: {self.act} {self.name}"

    @property
    def changes(self) -> list[tuple[str, str, str]]:
        """Each field that changed, with its value before and after."""
        columns = _columns(self.kind)
        return [
            (
                str(columns[name].verbose_name) if name in columns else name,
                _shown(self.before.get(name), columns.get(name)),
                _shown(self.after.get(name), columns.get(name)),
            )
            for name in dict.fromkeys([*self.before, *self.after])
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("An entry of the record of changes is never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("An entry of the record of changes is never deleted.")


def _columns(kind: str) -> dict[str, models.Field[Any, Any]]:
    """The columns of a kind of row by name; none where there is no such kind any more."""
    model = next((one for one in apps.get_app_config("shop").get_models() if one._meta.model_name == kind), None)
    return {} if model is None else {column.name: column for column in model._meta.concrete_fields}


def _shown(value: Any, column: models.Field[Any, Any] | None) -> str:
    """A value as people read it: what a choice is called, a moment to the minute."""
    if value in EMPTY:
        return "–"
    if isinstance(column, models.DateTimeField):
        return f"{timezone.localtime(dt.datetime.fromisoformat(str(value))):%Y-%m-%d %H:%M}"
    called = dict(column.flatchoices) if column is not None and column.choices else {}
    return str(called[value]) if isinstance(value, str) and value in called else str(value)
