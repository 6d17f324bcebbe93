"""The API under /api/: pieces, orders, plans and jobs, behind the same permissions as the screens."""
