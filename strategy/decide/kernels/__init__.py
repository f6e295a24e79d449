"""Compiled kernels and what they see of a hole. They call one another and nothing else of the room."""
