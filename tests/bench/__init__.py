"""Benchmarks of the search, ``make bench``: open orders, published problems and two rivals, side by side in one run."""
