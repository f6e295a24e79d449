"""What pictures need, worked out once: no arithmetic is left to the drawing."""
