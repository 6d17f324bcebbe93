"""A child process that does not outlive its parent, not even one that was killed outright."""

import ctypes
import os
import signal
import sys
import threading
import time

PARENT = "STOWRIGHT_PARENT_PID"
GRACE_S = 4.0
"""A worker hands its job back within 2.5 s; what is still there after this hangs."""
_PR_SET_PDEATHSIG = 1


def child_environment() -> dict[str, str]:
    """Return this process's environment with a note of whose child is about to be started."""
    return {**os.environ, PARENT: str(os.getpid())}


def end_with_parent() -> None:
    """TERM this process when the parent that `child_environment` noted is gone, and kill it if that is not heeded.

    Linux sends the signal itself; everywhere a thread watches, because the kernel's promise comes to nothing where the
    parent died before it was asked for.
    """
    # Taken out of the environment: a child of this process has another parent.
    parent = os.environ.pop(PARENT, "")
    if not parent:
        return
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(_PR_SET_PDEATHSIG, signal.SIGTERM, 0, 0, 0)
    threading.Thread(target=_watch, args=(int(parent),), name="parent watch", daemon=True).start()


def _watch(parent: int) -> None:
    # An orphan is given another parent at once, which is all there is to see.
    while os.getppid() == parent:
        time.sleep(0.5)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(GRACE_S)
    os._exit(1)
