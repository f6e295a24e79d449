"""Pictures: the sheet of one answer, and of a solved hole."""
