"""`python -m bracing`: the command line."""

import sys

from bracing.cli import main

if __name__ == "__main__":
    sys.exit(main())
