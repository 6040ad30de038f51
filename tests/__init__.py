"""The tests."""

import os

# What commands print is compared, also where a loaded machine makes them slow enough to say what they are doing.
os.environ.setdefault("BRACING_QUIET", "1")
