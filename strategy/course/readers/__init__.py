"""Readers and writers of course files: every form becomes one table of features; course.toml beside them."""
