"""The wall as a panel: a grillage of studs, plates, headers and rows, pinned in y along its bottom plate.

mesh      where the nodes and members are
weight    what the wall weighs, piece by piece
loads     wind, weight and people -> line loads on studs and forces on plates
grillage  its stiffness, zero-energy motions, compliance at every possible head, responses
reduced   braces + motions unknowns, solved for any set of braces, some of which count in one direction only
export    the analysed grillage for any frame program
"""
