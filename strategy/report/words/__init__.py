"""Plans, checks and numbers in words."""
