"""The same questions answered by other published standards, for tests and the docs; no answer uses them."""
