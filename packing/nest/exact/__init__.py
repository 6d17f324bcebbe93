"""Exact answers: proofs that a plan is the smallest, and whether an order fits a given interior."""
