"""The Django side of Stowright: models, screens, API, tasks, papers and settings."""

from shop.celery_app import app as celery_app

__all__ = ["celery_app"]
