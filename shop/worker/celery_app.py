"""The Celery application. Its messages are only notices; jobs are rows (see shop.services.jobs)."""

import logging
import os
import threading
import time
from typing import Any

from celery import Celery, signals
from celery.exceptions import WorkerShutdown

from shop.worker import parent_process

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.config.settings")

logger = logging.getLogger(__name__)

END_S = 2.5
"""Time after which a worker that was asked to stop ends, whatever its job is in the middle of; a server waits 3 s."""

FIRST_CLEAN_UP_S, CLEAN_UP_EVERY_S = 300.0, 6 * 3600.0
"""Time after which a worker first puts away what is old, and the interval from then on."""

app = Celery("shop")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["shop.worker"])

_closing = threading.Event()


@signals.worker_init.connect
def _end_with_parent(**kwargs: Any) -> None:
    parent_process.end_with_parent()


@signals.worker_ready.connect
def _start_recovering(**kwargs: Any) -> None:
    """Recover jobs at once, then at intervals; a reconnection to the broker says ready again and starts nothing."""
    if not any(thread.name == _recover_until_closing.__name__ for thread in threading.enumerate()):
        threading.Thread(target=_recover_until_closing, name=_recover_until_closing.__name__, daemon=True).start()


@signals.worker_shutting_down.connect
def _stop_working(exitcode: int, **kwargs: Any) -> None:
    """Ask the running job to stop, and listen to the broker no more, unless the job runs in this very thread."""
    from shop.services import jobs  # noqa: PLC0415 -- needs the models, which load later than this module

    jobs.request_stop()
    if _closing.is_set():
        return  # asked before: the shutdown under way is not interrupted
    _closing.set()
    threading.Thread(target=_end_without_the_job, name=_end_without_the_job.__name__, daemon=True).start()
    if not jobs.at_work():
        raise WorkerShutdown(exitcode)


@signals.task_postrun.connect
def _count_job(retval: Any = None, **kwargs: Any) -> None:
    from shop.worker import renewal  # noqa: PLC0415

    if retval is True:
        renewal.count_job()


@signals.worker_shutdown.connect
def _begin_anew(**kwargs: Any) -> None:
    from shop.worker import renewal  # noqa: PLC0415

    renewal.begin_anew()


def _end_without_the_job() -> None:
    """End this process in time although its job does not stop: by then the job's lease has handed it back."""
    from shop.services import jobs  # noqa: PLC0415

    time.sleep(END_S)
    if jobs.busy():
        logger.warning("The job at hand did not stop in time; it is handed back, and the worker ends without it.")
        # An orderly end would wait for the job, and sys.exit would end this thread alone.
        os._exit(0)


def _recover_until_closing() -> None:
    from django.conf import settings  # noqa: PLC0415
    from django.db import DatabaseError, connection  # noqa: PLC0415

    from shop.papers.clean_up import clean_up  # noqa: PLC0415
    from shop.services import jobs  # noqa: PLC0415

    clean_at = time.monotonic() + FIRST_CLEAN_UP_S
    while not _closing.is_set():
        try:
            jobs.recover()
            if time.monotonic() >= clean_at:
                clean_at = time.monotonic() + CLEAN_UP_EVERY_S
                clean_up()
        except (DatabaseError, OSError):
            # A database that is down for a while must not end this thread: nobody would start it again.
            logger.warning("What waits could not be recovered; it is tried again.", exc_info=True)
        finally:
            connection.close()
        _closing.wait(settings.JOB_RECOVERY_SECONDS)
