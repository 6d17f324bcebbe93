"""Settings: read from the environment, checked, with the data folder they point to."""
