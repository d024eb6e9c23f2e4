"""Every run of the tests tries the same examples."""

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)  # machines are shared
settings.load_profile("steady")
