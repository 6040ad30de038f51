"""What can be done to a wall: remedies, room for fasteners, joints with every usual fastener."""
