"""What every command answers today, recorded: the examples and 300 random walls.

It proves nothing of a number. It says which numbers a change has moved, on whose wall, so that nobody moves one
without knowing it and without telling those who stand under it.
"""
