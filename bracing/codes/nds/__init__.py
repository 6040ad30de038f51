"""Joints: one dowel, its withdrawal, the factors on both, spacing, slip, and holds in the ground."""
