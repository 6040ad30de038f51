"""Mutation testing: would the tests notice if a calculation were wrong?

    python -m tests.mutants                          every group, 60 mutants of each
    python -m tests.mutants wind joints --sample 200 --seed 7
    python -m tests.mutants members --all            every mutant: hours
    python -m tests.mutants wind --match gusts.py:143    only those of one file, or one line
    python -m tests.mutants --slips reviewed                 a list of slips put in by hand, slips_reviewed.toml
    python -m tests.mutants --slips reviewed --match jib     one of them again

A mutant is the program with one small fault: a `+` made `-`, a `<` made `<=`, a number one off, a `min` made `max`,
a loop that never runs. The group's chosen tests run against each; a mutant is killed when one of them fails, and
survives when all pass. Nothing is changed in this tree: the runs are in a copy. Doctests are left out on purpose,
as an example in a docstring illustrates and does not prove. docs/mutants.md has the results and argues the survivors.

A slip is such a fault that a tired engineer makes and no operator does: the list says which text of which file is
written otherwise, and which tests must notice; where it names none, those of the group nearest to the file.
`tests/house/test_slips.py` holds that each can still be put in.

The mutants are cosmic-ray's (docs/decisions/mutation-testing.md); `pip install cosmic-ray` first; slips do
without. Needs fork: not for Windows.
"""
