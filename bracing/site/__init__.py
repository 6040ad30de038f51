"""What is kept and sent for a job over time: the watch over its weather, and the log of its walls."""
