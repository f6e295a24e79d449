"""What the caddie adds: numbers as walked, outlines moved to meet them, heights, landmarks, stands."""
