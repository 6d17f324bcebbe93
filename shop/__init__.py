"""The Django side of Stowright: models, screens, API, tasks, papers and settings."""

from shop.worker.celery_app import app

__all__ = ["app"]
