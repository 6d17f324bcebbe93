"""Screens: a view fetches what its reader may see, validates, calls a service and renders."""
