"""The data folder: database, secret key, papers, the broker's letterbox, logs."""

import os
import secrets
import tempfile
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

ROOMS = ("papers", "broker", "broker/letters", "broker/control", "logs")


def make(root: Path) -> None:
    """Create the data folder and its rooms, readable by their owner alone; what is there is left as it is."""
    try:
        root.mkdir(mode=0o700, parents=True, exist_ok=True)
        for room in ROOMS:
            (root / room).mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise ImproperlyConfigured(
            f"The data folder {root} cannot be used ({error.strerror}); name another one in STOWRIGHT_DATA."
        ) from error


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
