#!/usr/bin/env python
"""Runs Stowright's management commands."""

import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line

from shop.worker import parent_process

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.config.settings")
    parent_process.end_with_parent()
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(f"Stowright cannot start: {error}")
