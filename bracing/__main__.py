"""`bracing`, and `python -m bracing`: the command line, which may be interrupted while it is still loading."""

import sys


def main() -> int:
    """Run one command; the words are those of the process.

    Returns:
        The exit status.
    """
    try:
        from bracing.commands.cli import main as run
    except KeyboardInterrupt:
        sys.stderr.write("bracing: interrupted\n")
        return 130
    return run()


if __name__ == "__main__":
    sys.exit(main())
