"""The compiled kernels on disk: their folder, whether they are all there, and having them compiled.

Without the compiler itself, whose loading alone takes a third of a second: a command that finds nothing compiled
answers first and needs none.

The folder is `data/kernels` beside the package, or one of the user's own where that cannot be written;
`NUMBA_CACHE_DIR` in the environment names another. Within it each state of the kernels' sources has a folder of its
own: the compiler looks at the file of a function alone, and not at those of the functions that it calls.
"""

import fcntl
import hashlib
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path

VARIABLE = "NUMBA_CACHE_DIR"
"""Names another folder; it is the compiler's own variable."""
_PACKAGE = Path(__file__).resolve().parent
_OURS_ALONE = 0o700
_started: list[subprocess.Popen[bytes]] = []


def _source_files() -> list[Path]:
    return sorted([*_PACKAGE.rglob("*_kernel.py"), _PACKAGE / "jit.py"])


def _sources() -> str:
    """A name for what the kernels' sources say now."""
    digest = hashlib.sha256()
    for path in _source_files():
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def _candidates() -> Iterator[Path]:
    yield _PACKAGE.parent / "data" / "kernels"
    # Without a home folder `Path.home` raises.
    with suppress(RuntimeError):
        yield Path.home() / ".cache" / "stowright-kernels"
    yield Path(tempfile.gettempdir()) / f"stowright-kernels-{os.getuid()}"


def _is_ours(folder: Path) -> bool:
    """Make a folder where need be; tell whether it may be written, and by nobody else: what lies in it is run."""
    try:
        for path in (folder.parent, folder):
            path.mkdir(mode=_OURS_ALONE, exist_ok=True)
        found = folder.stat()
    except OSError:
        return False
    return os.access(folder, os.W_OK) and found.st_uid in (0, os.getuid()) and not found.st_mode & 0o022


@cache
def folder() -> Path:
    """The folder of the compiled kernels, also named in the environment for the compiler."""
    if not os.environ.get(VARIABLE):
        chosen = next((path for path in _candidates() if _is_ours(path)), None)
        os.environ[VARIABLE] = str((chosen or Path(tempfile.mkdtemp(prefix="stowright-kernels-"))) / _sources())
    return Path(os.environ[VARIABLE])


@cache
def _mark() -> Path:
    """The file that is there once all is compiled: by this compiler, for this processor, from these very files.

    These are what the compiler asks before it takes code from its cache.
    """
    from llvmlite import binding

    digest = hashlib.sha256(_sources().encode())
    for path in _source_files():
        state = path.stat()
        digest.update(f"{path} {state.st_mtime_ns} {state.st_size}".encode())
    processor = (binding.get_host_cpu_name(), binding.get_host_cpu_features().flatten())
    digest.update(repr((sys.version, version("numba"), version("llvmlite"), *processor)).encode())
    return folder() / f"compiled-{digest.hexdigest()[:16]}"


def are_compiled() -> bool:
    """Tell whether every kernel of the nesting is in its folder, compiled."""
    return _mark().exists()


def are_compiling() -> bool:
    """Tell whether a process that this one has started is still at it."""
    return any(process.poll() is None for process in _started)


def note_compiled() -> None:
    """Remember that every kernel of the nesting is in its folder now."""
    with suppress(OSError):
        _mark().touch()


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """While open, other processes that compile into this folder wait."""
    try:
        folder().mkdir(mode=_OURS_ALONE, parents=True, exist_ok=True)
        lock = (folder() / "lock").open("w")
    except OSError:
        # Where nothing can be kept there is nothing to wait for.
        yield
        return
    with lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def compile_beside() -> bool:
    """Have the nesting's kernels compiled by a process of its own, which goes on when this one has ended.

    Returns
    -------
    bool
        False where no process can be started.
    """
    if are_compiling():
        return True
    environment = dict(os.environ) | {VARIABLE: str(folder().absolute())}
    try:
        # A session of its own, so that neither Ctrl-C nor the end of the terminal reaches it half-way.
        _started.append(
            subprocess.Popen(
                [sys.executable, "-m", "packing.nest.warm_cache"],
                env=environment,
                cwd=_PACKAGE.parent,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        )
    except OSError:
        return False
    return True
