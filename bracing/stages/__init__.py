"""A wall from its first brace to its last: going up, the hook, walking what is up, taking down."""
