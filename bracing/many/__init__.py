"""Lists of walls, and who does the work."""
