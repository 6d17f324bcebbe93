"""The worker: its Celery application and tasks, and the processes that `manage.py serve` keeps going."""
