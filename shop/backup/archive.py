"""The back-up file: what it holds, and reading it with distrust."""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path

from shop.adapter import DomainError

FORMAT = 1
"""Raised when an older version could not read a newer file; a later version reads all earlier ones."""
MANIFEST, KEY = "manifest.json", "secret_key"
PAPER = re.compile(r"papers/[0-9a-f]{64}\.pdf|proof/[0-9a-f]{64}\.(jpg|png|pdf)")
"""A name in the archive decides where its file is written, so nothing else is taken for a paper."""


class BackupRefused(DomainError):
    """A back-up cannot be made or restored as asked; the message is a sentence, and nothing was changed."""


@dataclass(frozen=True)
class Table:
    """The number of rows of one table, and the hash of all of them in the order of their keys."""

    rows: int
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """The statements of a back-up file about itself.

    Attributes
    ----------
    format
        Of the file; this code reads `FORMAT` alone.
    made_at
        UTC, ISO 8601.
    migrations
        The last migration of each Django app: the state of the tables that the rows belong to.
    tables
        By ``app.model``.
    papers
        How many files of papers, receipts and photographs are in it.
    missing_papers
        Hashes of papers that rows name and that were not in the data folder: they can be printed again.
    with_key
        Whether the secret key is in it; not where it comes from the environment.
    """

    format: int
    made_at: str
    code_version: str
    migrations: dict[str, str]
    tables: dict[str, Table] = field(default_factory=dict)
    papers: int = 0
    missing_papers: list[str] = field(default_factory=list)
    with_key: bool = False

    def to_json(self) -> str:
        return json.dumps(asdict(self), indent=1, sort_keys=True)


def line_of(row: dict[str, object]) -> bytes:
    """One row as one line; the same row is the same line on every database."""
    return json.dumps(row, sort_keys=True, ensure_ascii=True).encode() + b"\n"


def rows_name(label: str) -> str:
    return f"rows/{label}.jsonl"


def open_archive(path: Path) -> tuple[zipfile.ZipFile, Manifest]:
    """Open a back-up file and read its manifest; BackupRefused where it is none, is damaged or is of another format."""
    if path.exists() and not path.is_file():
        # A pipe, or a device, might never end.
        raise BackupRefused(f"{path} is not a plain file.")
    try:
        archive = zipfile.ZipFile(path)
    except (OSError, zipfile.BadZipFile) as error:
        raise BackupRefused(f"{path} is not a whole back-up file: {error}.") from error
    try:
        _refuse_damage(path, archive)
        content = json.loads(archive.read(MANIFEST))
        if content.get("format") != FORMAT:
            raise BackupRefused(f"{path} has format {content.get('format')!r}; this version reads format {FORMAT}.")
        tables = {label: Table(**table) for label, table in content.pop("tables").items()}
        return archive, Manifest(**content, tables=tables)
    except (KeyError, TypeError, ValueError, AttributeError, zipfile.BadZipFile) as error:
        archive.close()
        raise BackupRefused(f"{path} is not a back-up of Stowright: its manifest cannot be read.") from error
    except BaseException:
        archive.close()
        raise


def _refuse_damage(path: Path, archive: zipfile.ZipFile) -> None:
    try:
        damaged = archive.testzip()
    except (zipfile.BadZipFile, zlib.error, EOFError) as error:
        raise BackupRefused(f"{path} is damaged: {error}.") from error
    if damaged is not None:
        raise BackupRefused(f"{path} is damaged: {damaged} in it cannot be read.")


def lines(archive: zipfile.ZipFile, label: str) -> Iterator[bytes]:
    """The lines of one table."""
    with archive.open(rows_name(label)) as file:
        yield from file


def paper_names(archive: zipfile.ZipFile) -> list[str]:
    """The papers, receipts and photographs in a back-up; every name is one that we could have given."""
    return [name for name in archive.namelist() if PAPER.fullmatch(name)]


def hash_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
