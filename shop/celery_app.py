"""The Celery application. Its messages are only a doorbell; jobs are rows (see shop.jobs)."""

import logging
import os
import threading
from typing import Any

from celery import Celery, signals
from celery.exceptions import WorkerShutdown

from shop import parentage

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

logger = logging.getLogger(__name__)

app = Celery("shop")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

_closing = threading.Event()


@signals.worker_init.connect
def _end_with_parent(**kwargs: Any) -> None:
    parentage.end_with_parent()


@signals.worker_ready.connect
def _start_sweeping(**kwargs: Any) -> None:
    """Sweep at once and from then on at intervals; a reconnection to the broker says ready again and starts nothing."""
    if not any(thread.name == _sweep_until_closing.__name__ for thread in threading.enumerate()):
        threading.Thread(target=_sweep_until_closing, name=_sweep_until_closing.__name__, daemon=True).start()


@signals.worker_shutting_down.connect
def _stop_working(exitcode: int, **kwargs: Any) -> None:
    """Ask the running job to stop, and listen to the broker no more, unless the job runs in this very thread."""
    from shop import jobs  # noqa: PLC0415 -- needs the models, which load later than this module

    jobs.request_stop()
    if _closing.is_set():
        return  # asked before: the shutdown under way is not interrupted
    _closing.set()
    if not jobs.at_work():
        raise WorkerShutdown(exitcode)


def _sweep_until_closing() -> None:
    from django.conf import settings  # noqa: PLC0415
    from django.db import DatabaseError, connection  # noqa: PLC0415

    from shop import jobs  # noqa: PLC0415

    while not _closing.is_set():
        try:
            jobs.sweep()
        except DatabaseError:
            logger.warning("The sweep could not read the jobs; it is tried again.", exc_info=True)
        finally:
            connection.close()
        _closing.wait(settings.JOB_SWEEP_SECONDS)
