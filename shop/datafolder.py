"""The data folder: database, secret key, papers, the broker's letterbox, compiled kernels, logs."""

import os
import secrets
from pathlib import Path

ROOMS = ("papers", "broker", "numba", "logs")


def make(root: Path) -> None:
    """Create the data folder and its rooms, readable by their owner alone; what is there is left as it is."""
    root.mkdir(mode=0o700, parents=True, exist_ok=True)
    for room in ROOMS:
        (root / room).mkdir(mode=0o700, exist_ok=True)


def secret_key(root: Path) -> str:
    """Return the shop's secret key, generated on first use into a file that only its owner can read."""
    path = root / "secret_key"
    try:
        return path.read_text(encoding="ascii")
    except FileNotFoundError:
        pass
    draft = root / f"secret_key.{os.getpid()}"
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
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
        control = root / "broker" / "control"
        Path(letters).mkdir(mode=0o700, exist_ok=True)
        control.mkdir(mode=0o700, exist_ok=True)
        return {
            "data_folder_in": letters,
            "data_folder_out": letters,
            "control_folder": str(control),
            "polling_interval": 0.3,
        }
    return {"socket_connect_timeout": 2, "socket_timeout": 5}
