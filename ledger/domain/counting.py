"""Counts with their nouns."""


def counted(count: int, one: str, more: str) -> str:
    """Return a count with its noun."""
    return f"1 {one}" if count == 1 else f"{count} {more}"
