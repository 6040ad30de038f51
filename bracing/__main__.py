"""`bracing`, and `python -m bracing`: the command line, which may be interrupted while it is still loading."""

import gc
import sys

# A command loads a hundred thousand classes, functions and rows that live until it ends, and leaves few in a circle:
# searching them for circles took an eighth of a check. The search waits for so many new ones, more than a check makes.
SEARCH_AFTER = 200_000


def main() -> int:
    """Run one command; the words are those of the process.

    Returns:
        The exit status.
    """
    gc.set_threshold(SEARCH_AFTER)
    try:
        from bracing.commands.cli import main as run
    except KeyboardInterrupt:
        sys.stderr.write("bracing: interrupted\n")
        return 130
    status = run()
    gc.freeze()  # the process ends, and its memory with it: nothing is left to search for
    return status


if __name__ == "__main__":
    sys.exit(main())
