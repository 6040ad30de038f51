"""Answers as text, on pages of 40 to 80 columns. The only user of tabulate."""
