"""The commands: each module parses its options, makes one library call, prints, and ends with a status.

The table in `help` says which module each is in. Nothing heavy is imported before a command runs.
"""
