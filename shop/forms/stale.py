"""A form opened before somebody else stored the same row says so, and does not restore what it was opened with."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from django.core import signing
from django.db import models
from django.utils.translation import gettext as _

from shop.services import audit

SALT = "shop.forms.stale"
"""A signature for one purpose must not pass for one of another."""
SEEN = "seen"
"""Name of the hidden value that carries what the row was when its form was shown."""


class SaysWhatChanged:
    """A form of a known row; templates send `seen` along, and what was stored since is told before it is written over.

    `watch` is called at the end of the form's `__init__`, `tell_changes` in its `clean`. A form sent without `seen`
    is stored as it is.
    """

    data: Any
    seen: str = ""
    _now: dict[str, str]
    _row: models.Model

    def watch(self, row: models.Model, columns: Iterable[str]) -> None:
        """Remember what the row is at the moment; `seen` goes into the page."""
        self._row = row
        self._now = {} if row.pk is None else _texts(row, columns)
        self.seen = signing.dumps(self._now, salt=SALT, compress=True) if self._now else ""

    def tell_changes(self) -> None:
        """Add a sentence for each field that others changed since the form was shown, and show what is now."""
        then = _opened(str(self.data.get(self.add_prefix(SEEN), "")))  # type: ignore[attr-defined]
        changed = [name for name in self._now if self._is_news(name, then)]
        if not changed:
            return
        self.data = self.data.copy()
        for name in changed:
            self.add_error(None, self._sentence(name, then[name]))  # type: ignore[attr-defined]
            field = self.add_prefix(name)  # type: ignore[attr-defined]
            if self.data.get(field, "") == then[name]:
                self.data[field] = self._now[name]
        self.add_error(None, _("Look at it, then store again."))  # type: ignore[attr-defined]

    def _is_news(self, name: str, then: dict[str, str]) -> bool:
        """Tell whether a value has changed since, but to what is typed here; one's own storing is no news either."""
        if name not in then or then[name] == self._now[name]:
            return False
        actor = audit.actor.get()
        if actor is not None and audit.who_changed(self._row, name.partition(".")[0]) == actor.username:
            return False
        return bool(self.data.get(self.add_prefix(name), "") != self._now[name])  # type: ignore[attr-defined]

    def _sentence(self, name: str, then: str) -> str:
        column, _sep, key = name.partition(".")
        label = str(self._row._meta.get_field(column).verbose_name)  # type: ignore[union-attr]
        label = f"{label}: {key}" if key else label
        sentence = _("%(field)s has been changed meanwhile by %(person)s: it was “%(then)s” and is “%(now)s”.")
        person = audit.who_changed(self._row, column) or _("somebody else")
        named = {"person": person, "then": then or "–", "now": self._now[name] or "–"}
        return sentence % {"field": label[:1].upper() + label[1:], **named}


def _texts(row: models.Model, columns: Iterable[str]) -> dict[str, str]:
    """A row's columns as texts; a column of JSON key by key."""
    texts: dict[str, str] = {}
    for name in columns:
        value = row._meta.get_field(name).value_from_object(row)  # type: ignore[union-attr]
        if isinstance(value, dict):
            texts |= {f"{name}.{key}": json.dumps(one, sort_keys=True) for key, one in sorted(value.items())}
        else:
            texts[name] = "" if value is None else str(value)
    return texts


def _opened(token: str) -> dict[str, str]:
    try:
        found = signing.loads(token, salt=SALT)
    except signing.BadSignature:
        return {}
    return found if isinstance(found, dict) else {}
