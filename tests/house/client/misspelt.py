"""The same with four slips a checker of types must see: tests/house/test_client.py counts them."""

from __future__ import annotations

import bracing
from bracing import chek_wall, job_from_options

job = job_from_options(length="20 ft")
bracing.lay_outt(job, gust=30.0)
bracing.check_wall(job, gusts=30.0)
bracing.limit_gusts(job)
print(chek_wall)
