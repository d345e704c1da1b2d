"""Queries by name: each is one file under queries/."""

from functools import cache

from ledger.resources import root


@cache
def text(name: str) -> str:
    """Return the text of the query `name`, for example "posting_differences".

    Raises: FileNotFoundError when there is none of that name.
    """
    place = root("queries")
    for part in f"{name}.sql".split("/"):
        place = place / part
    return place.read_text(encoding="utf-8")


def without_order(name: str) -> str:
    """Return the query as a bracketed table to select from."""
    return f"(\n{text(name)}\n)"
