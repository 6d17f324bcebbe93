"""Reads settings from the environment, strictly: unset or empty gives the default, wrong is refused by name."""

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

YES = frozenset({"1", "true", "yes", "on"})
NO = frozenset({"0", "false", "no", "off"})


def text(name: str, default: str = "") -> str:
    """Return the variable, stripped, or the default."""
    return os.environ.get(name, "").strip() or default


def flag(name: str, default: bool = False) -> bool:
    """Return a yes-or-no variable: 1, true, yes, on or 0, false, no, off, in any case."""
    value = text(name).lower()
    if not value:
        return default
    if value in YES:
        return True
    if value in NO:
        return False
    raise ImproperlyConfigured(f"{name} must be one of 1, true, yes, on, 0, false, no, off; it is {value!r}.")


def whole(name: str, default: int, *, least: int, most: int) -> int:
    """Return a whole number from ``least`` to ``most``, both allowed."""
    value = text(name)
    if not value:
        return default
    if not (value.isascii() and value.isdigit() and least <= int(value) <= most):
        raise ImproperlyConfigured(f"{name} must be a whole number from {least} to {most}; it is {value!r}.")
    return int(value)


def words(name: str, default: list[str] | None = None) -> list[str]:
    """Return a comma-separated list; blanks around the commas and empty entries are dropped."""
    found = [word.strip() for word in text(name).split(",") if word.strip()]
    return found or list(default or [])


def address(name: str, default: str = "", *, schemes: list[str]) -> str:
    """Return an address of the form scheme://..., of one of the schemes that have been tried."""
    value = text(name, default)
    scheme, colon, _ = value.partition("://")
    if value and not (colon and scheme in schemes):
        allowed = ", ".join(f"{scheme}://" for scheme in schemes)
        raise ImproperlyConfigured(f"{name} must begin with one of {allowed}; it begins with {value.split(':')[0]!r}.")
    return value


def folder(name: str, default: Path) -> Path:
    """Return an absolute folder path; ``~`` stands for the home folder. The folder need not exist yet."""
    value = text(name)
    return (Path(value).expanduser() if value else default).absolute()
