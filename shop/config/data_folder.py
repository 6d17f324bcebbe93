"""The data folder: database, secret key, papers, the broker's letterbox, logs."""

import os
import secrets
import stat
import tempfile
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

NOTE = """This folder is Stowright's: its database, papers and secret key.

Do not copy it while Stowright runs: the copy would be damaged. Make a back-up instead, at any time:
    .venv/bin/python manage.py backup FILE
"""
KERNELS = "kernels"
"""The compiled search, which may be there before the shop is."""
ROOMS = ("papers", "proof", "broker", "broker/letters", "broker/control", "logs")


def make(root: Path) -> None:
    """Create the data folder and its rooms, readable by their owner alone; a folder of ours that is open is closed.

    Raises
    ------
    ImproperlyConfigured
        The folder cannot be used; or others can read it, and it is not ours alone, so that closing it is not for us.
    """
    try:
        root.mkdir(mode=0o700, parents=True, exist_ok=True)
        _close_to_others(root)
        for room in ROOMS:
            (root / room).mkdir(mode=0o700, exist_ok=True)
        note = root / "READ-ME.txt"
        if not note.exists():
            note.write_text(NOTE, encoding="utf-8")
            note.chmod(0o600)
    except OSError as error:
        raise ImproperlyConfigured(
            f"The data folder {root} cannot be used ({error.strerror}); name another one in STOWRIGHT_DATA."
        ) from error


def _close_to_others(root: Path) -> None:
    about = root.stat()
    if not stat.S_IMODE(about.st_mode) & 0o077:
        return
    holds = {path.name for path in root.iterdir()}
    ours = about.st_uid == os.geteuid() and ("papers" in holds or holds <= {KERNELS})
    if not ours:
        raise ImproperlyConfigured(
            f"The data folder {root} can be read by others and holds other things than the shop's: "
            "name a folder of its own in STOWRIGHT_DATA, or chmod 700 this one."
        )
    root.chmod(0o700)


def secret_key(root: Path) -> str:
    """Return the shop's secret key, generated on first use into a file that only its owner can read."""
    path = root / "secret_key"
    try:
        return path.read_text(encoding="ascii")
    except FileNotFoundError:
        pass
    handle, name = tempfile.mkstemp(dir=root, prefix="secret_key.")
    draft = Path(name)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(50))
    try:
        os.link(draft, path)
    except FileExistsError:
        pass
    finally:
        draft.unlink()
    return path.read_text(encoding="ascii")


def broker_options(root: Path, url: str) -> dict[str, object]:
    """Return the transport options of a broker address: folders for the file-based one, short waits for a server."""
    if url.startswith("filesystem"):
        letters = str(root / "broker" / "letters")
        return {
            "data_folder_in": letters,
            "data_folder_out": letters,
            "control_folder": str(root / "broker" / "control"),
            "polling_interval": 0.3,
        }
    return {"socket_connect_timeout": 2, "socket_timeout": 5}
