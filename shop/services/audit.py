"""Writes the record of changes: rows that are stored or deleted, acts, and log-ins, with who did it.

Signals of Django see every row that is stored or deleted one by one; acts that change rows by conditional updates call
`record` themselves, in their own transaction.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.db import models
from django.db.models.signals import post_save, pre_delete, pre_save
from django.utils.translation import gettext as _

from shop.models import (
    AllowanceRow,
    AuditEntry,
    Block,
    BoardRow,
    Carton,
    Customer,
    FastenerRow,
    GradeRule,
    LabourTime,
    Lot,
    Membership,
    Order,
    OrderLine,
    Pattern,
    Piece,
    PriceTable,
    Product,
    RateRule,
    Reading,
    SentRecord,
    Series,
    SheetRow,
    Shop,
    User,
    WoodRow,
)

KEPT: tuple[type[models.Model], ...] = (
    AllowanceRow, Block, BoardRow, Carton, Customer, FastenerRow, GradeRule, LabourTime, Lot, Membership, Order,
    OrderLine, Pattern, Piece, PriceTable, Product, RateRule, Reading, SentRecord, Series, SheetRow, Shop, User,
    WoodRow,
)  # fmt: skip
EMPTY = (None, "")
"""Values of a field in which nothing was written."""
UNSAID = {"password": "changed"}
"""Fields whose value is nobody's business, and what stands for it."""
NOT_A_CHANGE = {"last_login", "plan_outdated", "plan_outdated_why", "plan_judged_on", "plan_touched"}
"""Fields that the program keeps for itself."""

STRUCK_OUT = "struck out"
NUMBER_CORRECTED = "number corrected"

actor: ContextVar[User | None] = ContextVar("actor", default=None)
"""The person at work in this thread: set for the length of a request; None for the worker and the command line."""


@dataclass(frozen=True)
class PieceNote:
    """One thing put right about a piece: when, by whom, what, and the reason where one was given."""

    at: dt.datetime
    by: str
    what: str
    why: str = ""


def record(
    act: str,
    row: models.Model | None = None,
    *,
    before: Mapping[str, object] | None = None,
    after: Mapping[str, object] | None = None,
    by_name: str = "",
) -> None:
    """Add an entry to the record of changes."""
    by = actor.get()
    AuditEntry.objects.create(
        shop_id=_shop_of(row, by),
        by=by,
        by_name=(by.username if by is not None else by_name)[:150],
        act=act,
        kind="" if row is None else str(row._meta.model_name),
        row=None if row is None else row.pk,
        name="" if row is None else str(row)[:200],
        before=dict(before or {}),
        after=dict(after or {}),
    )


def of_piece(piece: Piece) -> list[PieceNote]:
    """Corrections of a piece: readings struck out and numbers put right, the newest first."""
    readings = AuditEntry.objects.filter(kind="reading", act=STRUCK_OUT, before__piece=piece.pk)
    numbers = AuditEntry.objects.filter(kind="piece", act=NUMBER_CORRECTED, row=piece.pk)
    notes = [
        PieceNote(entry.at, entry.by_name, _("reading struck out: %(reading)s") % {"reading": entry.name})
        for entry in readings
    ]
    notes += [
        PieceNote(
            entry.at,
            entry.by_name,
            _("number corrected from %(before)s to %(after)s")
            % {"before": entry.before["number"], "after": entry.after["number"]},
            entry.after["why"],
        )
        for entry in numbers
    ]
    return sorted(notes, key=lambda note: note.at, reverse=True)


def who_changed(row: models.Model, column: str) -> str:
    """Find who last changed a column of a row, by name; empty where that is not on record."""
    entries = AuditEntry.objects.filter(kind=row._meta.model_name, row=row.pk, after__has_key=column)
    return entries.values_list("by_name", flat=True).order_by("-pk").first() or ""


def watch() -> None:
    """Have the rows and log-ins recorded; called once, when the application starts."""
    for model in KEPT:
        uid = f"audit-{model._meta.label}"
        pre_save.connect(_before_storing, sender=model, dispatch_uid=uid)
        post_save.connect(_stored, sender=model, dispatch_uid=uid)
        pre_delete.connect(_deleted, sender=model, dispatch_uid=uid)
    user_logged_in.connect(_logged_in, dispatch_uid="audit")
    user_logged_out.connect(_logged_out, dispatch_uid="audit")
    user_login_failed.connect(_refused, dispatch_uid="audit")


def _shop_of(row: models.Model | None, by: User | None) -> int | None:
    if isinstance(row, Shop):
        return row.pk
    own: int | None = getattr(row, "shop_id", None)
    person = row if isinstance(row, User) else by
    if own is None and person is not None:
        own = Membership.objects.filter(user=person.pk).order_by("pk").values_list("shop", flat=True).first()
    return own


def _values(row: models.Model) -> dict[str, object]:
    return {field.name: _plain(field, row) for field in row._meta.concrete_fields if field.name not in NOT_A_CHANGE}


def _plain(field: models.Field[Any, Any], row: models.Model) -> Any:
    value = field.value_from_object(row)
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(field, models.JSONField):
        return json.loads(json.dumps(value, default=str))
    return str(value)


def _before_storing(sender: type[models.Model], instance: models.Model, raw: bool = False, **kwargs: Any) -> None:
    # Rows of a back-up are stored raw, as they were: nobody has changed anything.
    if raw or instance._state.adding:
        return
    kept = sender._base_manager.filter(pk=instance.pk).first()
    instance._audit_before = None if kept is None else _values(kept)  # type: ignore[attr-defined]


def _stored(
    sender: type[models.Model],
    instance: models.Model,
    created: bool,
    raw: bool = False,
    update_fields: frozenset[str] | None = None,
    **kwargs: Any,
) -> None:
    if raw:
        return
    if created:
        record("entered", instance, after=_said({k: v for k, v in _values(instance).items() if v not in EMPTY}))
        return
    before = getattr(instance, "_audit_before", None) or {}
    # Read again: an instance may hold a value as it was typed, which would look like a change once more.
    after = _values(sender._base_manager.get(pk=instance.pk))
    changed = [name for name in after if after[name] != before.get(name)]
    if changed:
        record(
            "changed",
            instance,
            before=_said({name: before.get(name) for name in changed}),
            after=_said({name: after[name] for name in changed}),
        )


def _deleted(sender: type[models.Model], instance: models.Model, **kwargs: Any) -> None:
    record(STRUCK_OUT if sender is Reading else "deleted", instance, before=_said(_values(instance)))


def _said(values: dict[str, object]) -> dict[str, object]:
    return {name: UNSAID.get(name, value) for name, value in values.items()}


def _logged_in(sender: Any, user: User, **kwargs: Any) -> None:
    record("logged in", user, by_name=user.username)


def _logged_out(sender: Any, user: User | AnonymousUser | None, **kwargs: Any) -> None:
    if isinstance(user, User):
        record("logged out", user, by_name=user.username)


def _refused(sender: Any, credentials: dict[str, object], **kwargs: Any) -> None:
    name = str(credentials.get("username", ""))
    user = User.objects.filter(username=name).first()
    record("was refused: wrong password" if user else "was refused: no such name", user, by_name=name)
