"""Formulas and tables of other standards, which the program does not use: what its own are compared with."""
