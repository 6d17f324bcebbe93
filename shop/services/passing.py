"""Troubles that pass: a busy database, one that is away, a full disk. Nothing was stored; it may be tried again."""

from __future__ import annotations

import errno
import functools
import random
import sqlite3
import time
from collections.abc import Callable
from typing import ParamSpec, TypeVar

from django.db import DatabaseError, InterfaceError, OperationalError, connection
from django.utils.translation import gettext as _

P = ParamSpec("P")
R = TypeVar("R")
TRIES = 4
_DISK = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO, errno.EACCES)
"""Full, over the quota, read-only, broken or closed to us: nothing that was asked can help it."""
_CLASHES = ("40001", "40P01", "55P03")
"""PostgreSQL's codes for: serialization failure, deadlock detected, lock not available."""


_DISK_OF_SQLITE = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN)
_BUSY_OF_SQLITE = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_PRIMARY = 0xFF
"""The last byte of one of SQLite's codes is the error, the rest its kind."""


def is_passing(error: BaseException) -> bool:
    """Tell whether an error comes from a busy or absent database or a full disk, and not from what was asked."""
    if isinstance(error, OSError):
        return error.errno in _DISK
    return isinstance(error, OperationalError | InterfaceError)


def said_of(error: BaseException) -> str:
    """A sentence for the person who asked."""
    if isinstance(error, OSError) or _code(error) in _DISK_OF_SQLITE:
        return _("The disk is full or cannot be written: nothing was stored. Make room, then try again.")
    return _("The database is busy or does not answer: nothing was stored. Try again in a moment.")


def goes_on_by_itself(error: BaseException) -> bool:
    """Tell whether a job will do once the trouble is over; to SQLite a wrong statement is operational, too."""
    return is_passing(error) and _code(error) in (None, *_DISK_OF_SQLITE, *_BUSY_OF_SQLITE)


def put_off_for(error: BaseException) -> str:
    """A sentence for the person whose job waits until the trouble is over."""
    if isinstance(error, OSError) or _code(error) in _DISK_OF_SQLITE:
        return _("The disk is full or cannot be written. Make room; then it goes on by itself.")
    return _("The database is busy or does not answer. Once it does, it goes on by itself.")


def is_clash(error: DatabaseError) -> bool:
    """Tell whether two transactions stood in each other's way, so that one was thrown back whole."""
    return getattr(error.__cause__, "sqlstate", None) in _CLASHES or _code(error) in _BUSY_OF_SQLITE


def _code(error: BaseException) -> int | None:
    """SQLite's own code of an error, without its kind; None where it is not of SQLite."""
    code = getattr(error.__cause__, "sqlite_errorcode", None)
    return None if code is None else code & _PRIMARY


def again_after_a_clash(act: Callable[P, R]) -> Callable[P, R]:
    """Do an act again, a few times, when its transaction was thrown back; within another transaction it is not."""

    @functools.wraps(act)
    def tried(*args: P.args, **kwargs: P.kwargs) -> R:
        for tries in range(1, TRIES):
            try:
                return act(*args, **kwargs)
            except DatabaseError as error:
                if connection.in_atomic_block or not is_clash(error):
                    raise
                # By chance, and longer each time: two that clashed would otherwise clash again in step.
                time.sleep(random.uniform(0.01, 0.05) * tries)
        return act(*args, **kwargs)

    return tried
