"""Files of the data folder, written so that none is ever seen half written."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is never seen half written."""
    # In the same folder: only within one file system is a rename a single step.
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            # On the disk before it gets its name: after a power cut no name stands for half a file.
            os.fsync(file.fileno())
        os.replace(draft, path)
    except BaseException:
        Path(draft).unlink(missing_ok=True)
        raise
