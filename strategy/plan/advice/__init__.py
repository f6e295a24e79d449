"""One decision with all that is said of it."""
