"""TOML as tables: of bounded size and depth, so that no file can exhaust the machine."""

import tomllib
from decimal import Decimal
from typing import Any

from ledger.errors import Refused

DEEPEST = 20
# Whole numbers of TOML are of 64 bits (TOML 1.0).
LARGEST_WHOLE = 2**63


def tables_of(where: str, text: str) -> dict[str, Any]:
    """Return the tables of a TOML text. Raises: Refused, naming the file and what is wrong."""
    if any(line.count(".") + line.count("[") > 1000 for line in text.splitlines()):
        raise _too_deep(where)
    try:
        tables = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise Refused("toml_astray", file=where, said=str(error)) from None
    except RecursionError:
        raise _too_deep(where) from None
    except ValueError:
        raise Refused("toml_number_too_long", file=where) from None
    _check(where, tables, 1)
    return tables


def _too_deep(where: str) -> Refused:
    return Refused("toml_too_deep", file=where)


def _check(where: str, value: object, depth: int) -> None:
    if depth > DEEPEST:
        raise _too_deep(where)
    if isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            _check(where, each, depth + 1)
    elif isinstance(value, int) and abs(value) > LARGEST_WHOLE:
        raise Refused("toml_number_too_long", file=where)
