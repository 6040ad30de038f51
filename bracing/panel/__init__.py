"""The wall as a panel: a grillage of studs, plates, headers and rows, pinned in y along its bottom plate.

builder   nodes and member runs while a grillage is laid out
openings  headers, sills and cripples, from the sticks themselves
mesh      where the nodes and members are
bays      what area of sheathing lies between which uprights
loads     pressure fields -> line loads on studs and forces on plates
factored  the stiffness, factored with its loose motions held
grillage  zero-energy motions, compliance at every possible head, responses
contact   which braces work, where some count in one direction only
reduced   braces + motions unknowns, solved for any set of braces
cases     the load cases of a standing wall
export    the analysed grillage for any frame program
"""
