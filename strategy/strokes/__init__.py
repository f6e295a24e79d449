"""Strokes to hole out: the protocol and the published baseline."""
