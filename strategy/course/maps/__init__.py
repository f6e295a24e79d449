"""Rasters of a hole: what the ground is, how high it lies, the trees on it."""
