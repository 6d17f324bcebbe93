"""Settings for the library's property tests: the same examples every time, and no clock."""

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True, database=None)
settings.load_profile("steady")
