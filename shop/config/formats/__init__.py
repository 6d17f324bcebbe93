"""How dates are written: one way everywhere, 2026-11-27."""
