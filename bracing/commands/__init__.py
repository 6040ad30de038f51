"""The commands: each module parses its options, makes one library call, prints, and ends with a status.

`register(app)` of each module adds its commands. Nothing heavy is imported before a command runs.
"""
