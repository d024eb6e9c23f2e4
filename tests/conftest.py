"""Every run of the tests tries the same examples, and pandas is that of most owners: without pyarrow."""

import sys

from hypothesis import settings

assert "pandas" not in sys.modules, "too late to keep pyarrow from it"
sys.modules["pyarrow"] = None  # type: ignore[assignment]  # it is not there, whoever asks

settings.register_profile("steady", derandomize=True, deadline=None)  # machines are shared
settings.load_profile("steady")
