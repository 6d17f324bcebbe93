"""Settings and a handler for worker processes that tests start."""
