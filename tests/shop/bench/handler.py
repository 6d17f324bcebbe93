"""A papers job that writes down who does it and then waits until a file says go, to a stop deaf if a file says so."""

import os
import time
from pathlib import Path
from typing import Any

from django.conf import settings

from shop.services import jobs
from shop.services.errors import JobCancelled
from shop.worker import tasks  # noqa: F401 -- its handlers are registered first, this one takes the place of theirs


@jobs.handler("papers")
def wait_for_go(job: Any, *, progress: Any, stop: Any) -> None:
    """Say who works in ``begun``; done when ``go`` is there. With ``deaf`` a stop is not heeded."""
    folder = Path(settings.DATA_DIR)
    draft = folder / f"begun.{os.getpid()}"
    draft.write_text(str(os.getpid()))
    draft.replace(folder / "begun")
    progress({"waiting": True})
    with (folder / "runs").open("a") as runs:
        runs.write(f"{job.pk} ")
    deaf = (folder / "deaf").exists()
    while not (folder / "go").exists():
        if stop() and not deaf:
            raise JobCancelled
        time.sleep(0.05)
