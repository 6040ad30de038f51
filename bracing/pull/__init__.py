"""Pulls with a hanging scale: what each test comes to beside the tables, and what it does to the limit of the wall."""
