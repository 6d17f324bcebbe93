"""Screens: a view fetches through the gate, validates, calls and renders."""
