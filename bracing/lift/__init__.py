"""Getting a wall up: body, picks, slings, foot, machine, plumb, the day."""
