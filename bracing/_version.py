"""The version of the package, said once: no module imports the top for it."""

__version__ = "0.10.0"
