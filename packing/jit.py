"""Compiling inner loops with numba: one decorator, one cache folder.

The cache is `data/kernels` beside the package, or a folder of the user's own where that cannot be written;
`NUMBA_CACHE_DIR` in the environment names another. Within the cache each state of the kernels' sources has a folder of
its own: the compiler looks at the file of a function alone, and not at those of the functions that it calls.
"""

import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar, cast


def _sources() -> str:
    """A name for what the kernels' sources say now."""
    digest = hashlib.sha256()
    here = Path(__file__).parent
    for path in sorted([*here.rglob("*_kernel.py"), here / "jit.py"]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def _cache_folder() -> Path:
    beside = Path(__file__).resolve().parents[1] / "data" / "kernels"
    try:
        beside.parent.mkdir(mode=0o700, exist_ok=True)
        beside.mkdir(mode=0o700, exist_ok=True)
    except OSError:
        return Path.home() / ".cache" / "stowright-kernels"
    return beside if os.access(beside, os.W_OK) else Path.home() / ".cache" / "stowright-kernels"


os.environ.setdefault("NUMBA_CACHE_DIR", str(_cache_folder() / _sources()))

from numba import njit

F = TypeVar("F", bound=Callable[..., object])


def compiled(function: F) -> F:
    """Compile a function on its first call, keep the result on disk, and let other threads run meanwhile."""
    return cast(F, njit(cache=True, nogil=True)(function))


def inlined(function: F) -> F:
    """As `compiled`, written into its callers."""
    return cast(F, njit(cache=True, nogil=True, inline="always")(function))
