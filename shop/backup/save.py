"""Making a back-up while the shop goes on working."""

from __future__ import annotations

import os
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from shop import adapter
from shop.backup.archive import FORMAT, KEY, MANIFEST, BackupRefused, Manifest, hash_of, rows_name
from shop.backup.rows import last_migrations, lines_of, summed, tables_of
from shop.models import Document, ProofFile


@dataclass(frozen=True)
class Saved:
    """A back-up that was made."""

    path: Path
    manifest: Manifest

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.manifest.tables.values())


def backup(path: Path) -> Saved:
    """Write everything the shop keeps into one new file, as it was at one moment; others may go on working.

    Parameters
    ----------
    path
        Where the file goes; its folder must be there, the file must not. Only its owner may read it.

    Returns
    -------
    Saved
        With the manifest as written.

    Raises
    ------
    BackupRefused
        The file is there already, the database is not migrated, or a paper's file is not what its name says.
    OSError
        The file cannot be written; nothing half-written is left.
    """
    if path.exists():
        raise BackupRefused(f"{path} is there already: a back-up never replaces a file.")
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise BackupRefused("The database is not as this version has it: run “manage.py migrate” first.")
    # Beside its place: a link cannot lead into another file system.
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "w+b") as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive, one_moment():
                manifest = _write(archive)
            file.flush()
            # On the disk before it gets its name: after a power cut no name stands for half a file.
            os.fsync(file.fileno())
        # A link, not a rename: it fails where somebody else has made the file meanwhile.
        os.link(draft, path)
    except FileExistsError as error:
        raise BackupRefused(f"{path} is there already: a back-up never replaces a file.") from error
    finally:
        Path(draft).unlink(missing_ok=True)
    return Saved(path, manifest)


@contextmanager
def one_moment() -> Iterator[None]:
    """Read the database as it is at one moment, without holding up those who write.

    PostgreSQL: a repeatable-read transaction that writes nothing. SQLite: a deferred transaction keeps the snapshot of
    the write-ahead log that its first reading saw.
    """
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        sqlite: Any = connection  # the type of a connection does not know what SQLite's has
        usual, sqlite.transaction_mode = sqlite.transaction_mode, "DEFERRED"
        try:
            with transaction.atomic():
                yield
        finally:
            sqlite.transaction_mode = usual
        return
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def _write(archive: zipfile.ZipFile) -> Manifest:
    key = settings.DATA_DIR / "secret_key"
    manifest = Manifest(
        format=FORMAT,
        made_at=timezone.now().isoformat(),
        code_version=adapter.code_version(),
        migrations=last_migrations(),
        with_key=key.exists(),
    )
    tables = {}
    for model in tables_of(apps):
        label = model._meta.label_lower
        with archive.open(rows_name(label), "w") as file:
            tables[label] = summed(_copied(lines_of(model), file))
    papers, missing = _write_papers(archive)
    if manifest.with_key:
        archive.writestr(KEY, key.read_bytes())
    manifest = replace(manifest, tables=tables, papers=papers, missing_papers=missing)
    archive.writestr(MANIFEST, manifest.to_json())
    return manifest


def _copied(lines: Iterator[bytes], file: Any) -> Iterator[bytes]:
    for line in lines:
        file.write(line)
        yield line


def _write_papers(archive: zipfile.ZipFile) -> tuple[int, list[str]]:
    """Add the files that the rows of papers name; return how many, and the hashes of those that are not there."""
    missing = []
    papers = sorted(set(Document.objects.values_list("sha256", flat=True)))
    files = [Path(settings.PAPERS_DIR) / f"{sha256}.pdf" for sha256 in papers]
    proof = sorted(set(ProofFile.objects.values_list("sha256", "media")))
    files += [Path(settings.PROOF_DIR) / f"{sha256}.{media}" for sha256, media in proof]
    for path in files:
        try:
            data = path.read_bytes()
        except FileNotFoundError:
            missing.append(path.stem)
            continue
        if hash_of(data) != path.stem:
            raise BackupRefused(f"The paper {path.name} is damaged: delete the file, print that paper again.")
        # PDFs and photographs are compressed already.
        archive.writestr(f"{path.parent.name}/{path.name}", data, zipfile.ZIP_STORED)
    return len(files) - len(missing), missing
