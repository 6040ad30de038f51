"""Settings every test shares."""

import os

from hypothesis import settings

# A slow shared machine is no fault of the law under test; in CI the same examples are drawn every time.
settings.register_profile("bracing", deadline=None, derandomize=os.environ.get("CI") == "true")
settings.load_profile("bracing")
