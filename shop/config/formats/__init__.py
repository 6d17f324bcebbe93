"""Formats of dates: one way everywhere, 2026-11-27."""
