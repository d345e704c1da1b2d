"""One text for one content: what the digest on a page is taken over."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any


def canonical_json(view: Any) -> bytes:
    """Return the view model as JSON in UTF-8: keys sorted, no spaces, decimals and dates as text.

    The digest is taken over exactly these bytes, so nothing follows the last brace. Of an issued
    statement it is the report's: the command on the page makes these bytes again.
    """
    content = plain(getattr(view, "as_reported", view))
    text = json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return text.encode("utf-8")


def digest(view: Any) -> str:
    """Return the SHA-256 of the canonical JSON in hex."""
    return hashlib.sha256(canonical_json(view)).hexdigest()


def plain(value: Any) -> Any:
    """Return the value in JSON's own types.

    Raises: TypeError for a type that no view model may hold, binary fractions among them.
    """
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, Decimal):
        return decimal_text(value)
    if type(value) is date:
        return value.isoformat()
    if isinstance(value, tuple):
        return [plain(part) for part in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"a view model holds no {type(value).__name__}")


def decimal_text(value: Decimal) -> str:
    """Return the decimal with the places it has, without exponent or a minus before zero."""
    return format(value if value else abs(value), "f")
