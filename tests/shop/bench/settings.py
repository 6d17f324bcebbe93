"""The shop's settings with a handler that tests can hold up, and short leases, recovered often."""

from shop.config.settings import *  # noqa: F403

CELERY_IMPORTS = ["tests.shop.bench.handler"]
JOB_LEASE_SECONDS = 3
JOB_RECOVERY_SECONDS = 1
SILENCED_SYSTEM_CHECKS = ["stowright.W001"]
