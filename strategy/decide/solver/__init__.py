"""The whole hole solved backwards, played out, and asked for the chance of a score."""
