"""The Django side of Stowright: models, screens, API, tasks, papers and settings."""
