"""The tests."""

import logging
import os

# What commands print is compared, also where a loaded machine makes them slow enough to say what they are doing.
os.environ.setdefault("BRACING_QUIET", "1")
# So is what stands on stderr: on a new machine the drawing library says there that it looks through the fonts, once.
logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)

# What a program that a test starts may take at the most [s]: only one that hangs comes to it, however busy the machine.
LONGEST_S = 900
