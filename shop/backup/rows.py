"""Rows as plain values and back, for the models of today and for those of an earlier migration alike."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from typing import Any

from django.apps.registry import Apps
from django.db import connection, models
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.state import StateApps

from shop.backup.archive import Table, line_of

LEFT_OUT = {"sessions.session"}
"""Tables that say who is logged in at the moment."""
AT_ONCE = 500
"""A back-up of a large shop is read in parts, so that it fits the memory of a small server."""


def tables_of(apps: Apps | StateApps) -> list[type[models.Model]]:
    """Every model whose rows are kept, many-to-many tables included, in the order of their labels."""
    kept = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.label_lower not in LEFT_OUT
    ]
    return sorted(kept, key=lambda model: model._meta.label_lower)


def values_of(row: models.Model) -> dict[str, object]:
    """A row's columns as JSON values: numbers that must be exact and moments are texts."""
    values: dict[str, object] = {}
    for field in row._meta.concrete_fields:
        value = field.value_from_object(row)
        if value is not None and not isinstance(value, bool | int | str) and not isinstance(field, models.JSONField):
            value = field.value_to_string(row)
        values[field.attname] = value
    return values


def row_of(model: type[models.Model], values: dict[str, object]) -> models.Model:
    """The row that `values_of` made values of."""
    fields = {field.attname: field for field in model._meta.concrete_fields}
    if set(values) != set(fields):
        raise ValueError(f"{model._meta.label_lower} has other columns than its rows in the back-up.")
    return model(**{name: _typed(fields[name], value) for name, value in values.items()})


def _typed(field: models.Field[Any, Any], value: Any) -> Any:
    return value if value is None or isinstance(field, models.JSONField) else field.to_python(value)


def lines_of(model: type[models.Model]) -> Iterator[bytes]:
    """The lines of all rows of one table, in the order of their keys."""
    rows = model._base_manager.order_by("pk").iterator(chunk_size=AT_ONCE)
    return (line_of(values_of(row)) for row in rows)


def summed(lines: Iterable[bytes]) -> Table:
    """Count lines and hash them."""
    count, digest = 0, hashlib.sha256()
    for line in lines:
        count += 1
        digest.update(line)
    return Table(count, digest.hexdigest())


def last_migrations() -> dict[str, str]:
    """The last migration of each app, as this code has them."""
    return dict(MigrationExecutor(connection).loader.graph.leaf_nodes())
