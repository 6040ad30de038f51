"""Whatever is typed: no traceback, no hang, no runaway memory, and never a "within" with a link unknown.

    python -m tests.fuzz --count 100000            over 2 processes; --seed and --case repeat any of it

Case k of a seed is the same on every machine: wall files made and then spoilt with the grammar in hand, option sets,
forecasts, load charts, readings, lists of walls, and raw bytes. `test_fuzz.py` runs a few hundred with the other tests.
"""
