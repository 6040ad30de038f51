"""The wall as a panel: a grillage of studs, plates, headers and rows, pinned in y along its bottom plate.

mesh      where the nodes and members are
loads     pressure fields -> line loads on studs and forces on plates
grillage  stiffness, zero-energy motions, compliance at every possible head, responses
reduced   braces + motions unknowns, solved for any set of braces; balance verified
"""
