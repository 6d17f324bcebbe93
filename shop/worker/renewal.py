"""A worker begins anew after so many jobs: what printing leaves behind in its memory goes with the old process."""

from __future__ import annotations

import logging
import os
import signal
import sys

from django.conf import settings

from shop.services import jobs

logger = logging.getLogger(__name__)

_done = 0
_wanted = False


def count_job() -> None:
    """Count a job that this worker did; after the last of its jobs, ask it to end in order."""
    global _done, _wanted  # noqa: PLW0603 -- of the process, as its memory is
    _done += 1
    # A worker that is being stopped ends for good and does not begin anew.
    if _done >= settings.WORKER_JOBS and not _wanted and not jobs.stop_requested():
        _wanted = True
        # The same signal that ends a worker from outside, so that there is one way of ending in order.
        os.kill(os.getpid(), signal.SIGTERM)


def begin_anew() -> None:
    """Start the same program over in this process, if it has ended for that; files and connections close by it."""
    if not _wanted:
        return
    logger.info("The worker begins anew after %s jobs.", _done)
    # execv skips all that Python does at its end: what is still in a buffer would be lost.
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
    os.execv(sys.executable, [sys.executable, *sys.orig_argv[1:]])
