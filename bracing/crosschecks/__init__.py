"""The same questions answered by other published standards: used by tests and the docs, never by the answer."""
