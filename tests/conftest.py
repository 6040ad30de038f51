"""Settings every test shares."""

import os

# Before numpy loads: the matrices are small, and threads that share two cores with the other worker only wait.
for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(name, "1")

from hypothesis import Phase, settings  # noqa: E402

# A slow shared machine is no fault of the law under test; in CI the same examples are drawn every time.
settings.register_profile("bracing", deadline=None, derandomize=os.environ.get("CI") == "true")
# Mutants (tests/mutants) need to know that a law fails, not the plainest wall that breaks it.
settings.register_profile("mutants", deadline=None, database=None, phases=(Phase.explicit, Phase.generate))
settings.load_profile("bracing")
