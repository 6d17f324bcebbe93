"""What a run was measured on."""

import datetime as dt
import importlib.metadata
import os
import platform
import subprocess
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Machine:
    """The machine, the software and the moment of a run; `load` is how busy the machine was before it (1 minute)."""

    date: str
    commit: str
    cpu: str
    cores: int
    python: str
    numba: str
    load: float

    @property
    def sentence(self) -> str:
        """For a heading."""
        return (
            f"{self.date}, commit {self.commit}; {self.cpu}, {self.cores} cores; Python {self.python}, "
            f"numba {self.numba}; load before the run {self.load:.1f}"
        )


def describe() -> Machine:
    """This machine, now."""
    return Machine(
        date=dt.datetime.now(dt.UTC).strftime("%Y-%m-%d %H:%M UTC"),
        commit=_commit(),
        cpu=_cpu(),
        cores=len(os.sched_getaffinity(0)),
        python=platform.python_version(),
        numba=importlib.metadata.version("numba"),
        load=round(os.getloadavg()[0], 2),
    )


def _cpu() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or UNKNOWN
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()


def _commit() -> str:
    """The short hash, with a + where the library differs from it."""
    try:
        head = _git("rev-parse", "--short", "HEAD")
        return head + ("+" if _git("status", "--porcelain", "--", "packing") else "")
    except (OSError, subprocess.CalledProcessError):
        return UNKNOWN


def _git(*arguments: str) -> str:
    return subprocess.run(
        ["git", "-C", str(ROOT), *arguments], capture_output=True, text=True, check=True
    ).stdout.strip()
