"""Every run of the tests tries the same examples."""

from hypothesis import settings

settings.register_profile("steady", derandomize=True)
settings.load_profile("steady")
