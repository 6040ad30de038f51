"""Temporary bracing of framed walls: numbers a crew can follow, each traced to a published source."""

__version__ = "0.1.0"
