"""Settings of documents: the form of their numbers and the days for a reply, by kind and job."""

from collections.abc import Callable, Iterator
from typing import Any

from ledger.domain.codes import code_of
from ledger.domain.documents import KINDS, form_fault
from ledger.domain.parsing import parse_whole
from ledger.tables.toml_keys import KeyPath, TomlFile

# Ten years of days: more is a slip.
MOST_DAYS = 3_660


def by_kind(
    file: TomlFile, section: str, content: dict[str, Any]
) -> Iterator[tuple[KeyPath, str, str]]:
    """Yield the settings of a table by kind of document; a table in it is a job's own."""
    for name, value in content.items():
        if isinstance(value, dict):
            of_job = f"{section}.{code_of(name)}"
            yield from _of_kinds(file, (section, name), of_job, value)
    plain = {name: value for name, value in content.items() if not isinstance(value, dict)}
    yield from _of_kinds(file, (section,), section, plain)


def _of_kinds(
    file: TomlFile, path: KeyPath, named: str, content: dict[str, Any]
) -> Iterator[tuple[KeyPath, str, str]]:
    for kind in file.refuse_unknown(path, content, KINDS):
        fault, value = CHECKS[str(path[0])](content[kind])
        if fault:
            file.fault((*path, kind), f"{named}.{kind} {fault}")
        else:
            yield (*path, kind), f"{named}.{kind}", value


def _form(value: object) -> tuple[str | None, str]:
    if not isinstance(value, str):
        return f'{value} is not text; write it in quotes, as "{{job}}-Q-{{number:3}}"', ""
    return form_fault(value), value


def _days(value: object) -> tuple[str | None, str]:
    """Return a number of calendar days; an empty text says that the contract sets none."""
    if value == "":
        return None, ""
    if isinstance(value, bool) or not isinstance(value, int | str):
        return f"{str(value).lower()} is not a number of days; write 28", ""
    try:
        days = parse_whole(str(value))
    except ValueError as error:
        return str(error), ""
    return (
        None if 1 <= days <= MOST_DAYS else f"{days} is not between 1 and {MOST_DAYS}"
    ), f"{days}"


CHECKS: dict[str, Callable[[object], tuple[str | None, str]]] = {
    "number_series": _form,
    "reply_limits": _days,
}
