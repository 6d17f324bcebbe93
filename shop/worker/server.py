"""Needs of serving: one server a data folder, a free port, and children that are kept going and ended in time."""

from __future__ import annotations

import errno
import fcntl
import os
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import IO

from shop.worker import parent_process

LOCK = "serve.lock"
PORTS_TRIED = 100
"""With so many taken in a row something else is wrong, and is said."""
LOG_LIMIT_BYTES = 5_000_000
"""A log that nobody reads must not fill the disk that the database lies on."""
STEADY_S = 60.0
"""A worker that lived so long and ends is started again as if nothing had been; one that ends sooner waits longer."""


class AlreadyRunning(Exception):
    """Another server holds this data folder; the argument is its address, empty while it is starting."""


class Hold:
    """The hold on a data folder, kept until the process ends in whatever way; others can read the server's address."""

    def __init__(self, path: Path) -> None:
        # Not emptied by opening: as long as the hold is another server's, the file has its address.
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        self._file: IO[str] = os.fdopen(handle, "r+", encoding="utf-8")
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            address = self._file.read().strip()
            self._file.close()
            raise AlreadyRunning(address) from None
        self.publish("")

    def publish(self, address: str) -> None:
        """Write down the address that this server answers at."""
        self._file.seek(0)
        self._file.truncate()
        self._file.write(address)
        self._file.flush()

    def release(self) -> None:
        """Give the data folder free."""
        self.publish("")
        self._file.close()


def address_of_running(folder: Path) -> str:
    """The address of the server that holds a data folder; empty where none runs or it is still starting."""
    try:
        Hold(folder / LOCK).release()
    except AlreadyRunning as other:
        return str(other)
    return ""


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens on the port, or on the next free one above it.

    Raises
    ------
    OSError
        If the host is not ours or none of the ports tried is free.
    """
    last = min(port + PORTS_TRIED, 65535)
    for candidate in range(port, last + 1):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        # A server started again at once finds its port free although old connections linger on it.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, candidate))
            listener.listen(128)
        except OSError as error:
            listener.close()
            # Only a port that is taken is passed over: an address that is not ours is no better on the next port.
            if error.errno == errno.EADDRINUSE and candidate < last:
                continue
            raise
        return listener
    raise ValueError(f"The port must be at most 65535; it is {port}.")


class Child:
    """A child process: started again when it dies, slower each time, and ended with its parent."""

    def __init__(self, arguments: list[str], *, folder: Path, log: Path | None = None) -> None:
        self._arguments = arguments
        self._folder = folder
        self._log = log
        self._wait_s = 1.0
        self._again_at: float | None = None
        self._started_at = 0.0
        self.process = self._start()

    def keep_going(self) -> int | None:
        """Start the child again if it died; return its exit status when the death is first noticed, else None."""
        now = time.monotonic()
        if self._again_at is not None:
            if now >= self._again_at:
                self._again_at = None
                self.process = self._start()
            return None
        status = self.process.poll()
        if status is None:
            return None
        # Doubled up to half a minute: a child that dies as soon as it starts must not keep the machine busy.
        self._wait_s = 1.0 if now - self._started_at > STEADY_S else min(self._wait_s * 2, 30.0)
        self._again_at = now + self._wait_s
        return status

    def ask_to_end(self) -> None:
        """Send TERM."""
        if self.process.poll() is None:
            self.process.terminate()

    def end(self, within_s: float) -> bool:
        """Wait for the child after `ask_to_end`, and kill it when the time is up; True if it ended by itself."""
        try:
            self.process.wait(timeout=max(within_s, 0.1))
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return False
        return True

    def _start(self) -> subprocess.Popen[bytes]:
        self._started_at = time.monotonic()
        if self._log is None:
            return self._spawn(None)
        if self._log.exists() and self._log.stat().st_size > LOG_LIMIT_BYTES:
            self._log.replace(self._log.with_suffix(".1.log"))
        with self._log.open("ab") as log:
            return self._spawn(log)

    def _spawn(self, log: IO[bytes] | None) -> subprocess.Popen[bytes]:
        # A session of its own keeps the terminal's Ctrl-C from it: the parent asks it to end.
        return subprocess.Popen(
            [sys.executable, *self._arguments],
            cwd=self._folder,
            env=parent_process.child_environment(),
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT if log else None,
            start_new_session=True,
        )
