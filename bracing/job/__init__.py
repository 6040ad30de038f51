"""What a person declares: wall, framing, layers, floor, brace, fasteners, lumber; and the envelope."""
