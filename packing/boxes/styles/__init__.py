"""One module a style; each registers itself. See "How to add a box style" in DEVELOPERS.md."""
