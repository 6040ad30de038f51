"""`python -m bracing`: the command line."""

import sys

from bracing.cli import main

sys.exit(main())
