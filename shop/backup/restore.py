"""Restoring a back-up into an empty shop, and checking what came of it."""

from __future__ import annotations

import json
import os
import zipfile
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.state import StateApps

from shop import adapter
from shop.backup.archive import KEY, BackupRefused, Manifest, hash_of, lines, open_archive, paper_names
from shop.backup.rows import lines_of, row_of, summed, tables_of
from shop.models import BoxPlan, Shop, User
from shop.services.files import write_whole

MADE_BY_MIGRATING = ("contenttypes.contenttype", "auth.permission")
"""Tables that are not empty in an empty shop; their rows come from the back-up."""


@dataclass(frozen=True)
class Restored:
    """A back-up that was restored, and the plans that the checker finds fault with today."""

    manifest: Manifest
    plans: int
    problems: list[str]


def restore(path: Path) -> Restored:
    """Restore a back-up into an empty shop: all of it or nothing.

    Every table is read again from the database and must have the number of rows and the hash that the back-up says;
    every paper must be what its name says; every plan goes through the checker.

    Parameters
    ----------
    path
        Of a file that `backup` made, by this version or an earlier one, on either database.

    Returns
    -------
    Restored
        What the checker finds wrong with a plan is told, and the plan stays: it was so when the back-up was made.

    Raises
    ------
    BackupRefused
        The file is damaged or of a later version, or the shop is not empty; nothing changes.
    """
    archive, manifest = open_archive(path)
    with archive:
        _refuse_later_version(manifest)
        _refuse_damaged_papers(path, archive, manifest)
        _refuse_shop_in_use()
        try:
            _load(path, archive, manifest, _tables_as_of(manifest))
        finally:
            # Whatever became of the rows: the tables were made as they were then, and the shop needs them as they are
            # now.
            call_command("migrate", verbosity=0, interactive=False)
        # After the rows, which may still be refused: then no file has been written.
        _put_files(archive, manifest)
    plans = BoxPlan.objects.select_related("order").filter(content__status="planned").order_by("pk")
    problems = [f"Order {plan.order.number}, plan {plan.code}: {found}" for plan in plans for found in _faults(plan)]
    return Restored(manifest, plans.count(), problems)


def _faults(plan: BoxPlan) -> list[str]:
    return adapter.problems(plan.order_content, plan.content)


def _refuse_later_version(manifest: Manifest) -> None:
    known = MigrationExecutor(connection).loader.graph.nodes
    unknown = [f"{app} {name}" for app, name in manifest.migrations.items() if (app, name) not in known]
    if unknown:
        raise BackupRefused(
            f"The back-up is of another version of Stowright ({manifest.code_version}): this one does not know "
            f"{', '.join(unknown)}. Restore it with that version, or a later one."
        )


def _refuse_damaged_papers(path: Path, archive: zipfile.ZipFile, manifest: Manifest) -> None:
    names = paper_names(archive)
    damaged = [name for name in names if hash_of(archive.read(name)) != Path(name).stem]
    if damaged or len(names) != manifest.papers:
        raise BackupRefused(
            f"{path} is damaged: of {manifest.papers} papers {len(names)} are in it, {len(damaged)} of them changed."
        )


def _refuse_shop_in_use() -> None:
    # A database that was never migrated has no tables to look into, and is empty.
    if "shop_shop" not in connection.introspection.table_names():
        return
    shops, people = Shop.objects.count(), User.objects.count()
    if shops or people:
        raise BackupRefused(
            f"This shop is not empty ({shops} shops, {people} people): a back-up is restored into an empty one. "
            "Name a new folder in STOWRIGHT_DATA, or a new database in DATABASE_URL."
        )


def _tables_as_of(manifest: Manifest) -> StateApps:
    """Bring the empty database to the state that the back-up was made in; return that state's models."""
    executor = MigrationExecutor(connection)
    targets = list(manifest.migrations.items())
    executor.migrate(targets)
    executor.loader.build_graph()
    return executor.loader.project_state(targets).apps


def _load(path: Path, archive: zipfile.ZipFile, manifest: Manifest, apps: StateApps) -> None:
    tables = {model._meta.label_lower: model for model in tables_of(apps)}
    if set(tables) != set(manifest.tables):
        odd = ", ".join(sorted(set(tables) ^ set(manifest.tables)))
        raise BackupRefused(f"{path} does not have the tables of its version: {odd}.")
    with transaction.atomic():
        for label in MADE_BY_MIGRATING:
            tables[label]._base_manager.all().delete()
        for label, model in tables.items():
            if model._base_manager.exists():
                raise BackupRefused(f"This shop is not empty: there are rows in {label}.")
            try:
                _insert(model, archive, label)
            except (ValueError, KeyError, TypeError) as error:
                raise BackupRefused(f"{path} is damaged: a row of {label} cannot be read ({error}).") from error
        for label, model in tables.items():
            found, said = summed(lines_of(model)), manifest.tables[label]
            if found != said:
                raise BackupRefused(
                    f"{path} was not restored: {label} should have {said.rows} rows and has {found.rows}"
                    + (", not all of them the same." if found.rows == said.rows else ".")
                )
        # The keys were given, not drawn: without this PostgreSQL would give the next new row a key that is taken.
        for statement in connection.ops.sequence_reset_sql(no_style(), list(tables.values())):
            with connection.cursor() as cursor:
                cursor.execute(statement)


def _insert(model: type[models.Model], archive: zipfile.ZipFile, label: str) -> None:
    for line in lines(archive, label):
        row = row_of(model, json.loads(line))
        # Raw: the row comes back as it was, and is taken for no change.
        models.Model.save_base(row, raw=True, force_insert=True)


def _put_files(archive: zipfile.ZipFile, manifest: Manifest) -> None:
    folders = {folder.name: folder for folder in (Path(settings.PAPERS_DIR), Path(settings.PROOF_DIR))}
    for folder in folders.values():
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for name in paper_names(archive):
        write_whole(folders[Path(name).parent.name] / Path(name).name, archive.read(name))
    if manifest.with_key and not os.environ.get("STOWRIGHT_SECRET_KEY"):
        write_whole(settings.DATA_DIR / "secret_key", archive.read(KEY))
