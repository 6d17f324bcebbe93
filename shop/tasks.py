"""Celery tasks. A message is only a doorbell: the work is a job's row (see shop.jobs)."""

from __future__ import annotations

import os
import socket

from celery import shared_task

from shop import jobs


@shared_task(name="shop.run_job", ignore_result=True)
def run_job(job_id: int) -> None:
    """Do one job, if it still waits."""
    jobs.work(job_id, worker=f"{socket.gethostname()}:{os.getpid()}")
