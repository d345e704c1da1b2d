"""Change requests, variations and what they do to the baseline."""
