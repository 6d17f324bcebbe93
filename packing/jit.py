"""Compiling inner loops with numba: one decorator, one cache folder (see `packing.kernels`)."""

from collections.abc import Callable
from typing import TypeVar, cast

from packing import kernels

kernels.folder()  # names the folder in the environment, where the compiler looks for it when it is loaded

from numba import njit

F = TypeVar("F", bound=Callable[..., object])


def compiled(function: F) -> F:
    """Compile a function on its first call, keep the result on disk, and let other threads run meanwhile."""
    return cast(F, njit(cache=True, nogil=True)(function))


def inlined(function: F) -> F:
    """As `compiled`, written into its callers."""
    return cast(F, njit(cache=True, nogil=True, inline="always")(function))
