"""From features to holes: which course, what each feature is, which tees and greens belong to a hole."""
