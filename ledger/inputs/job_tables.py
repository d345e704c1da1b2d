"""Tables and lists of tables in job.toml, beside [job] or in it, each value checked."""

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.domain.codes import name_of
from ledger.inputs.job_values import Check
from ledger.inputs.small_files import Row
from ledger.tables.toml_keys import KeyPath, TomlFile

Checks = Mapping[str, Check]


def checked(file: TomlFile, path: KeyPath, value: object, checks: Checks) -> Any:
    """Return a value as it is kept; None when it does not fit, which is a fault."""
    name = str(path[-1])
    try:
        return checks[name](value)
    except ValueError as error:
        file.fault(path, f"{name} {error}")
    return None


def beside(file: TomlFile, job: Row, name: str) -> tuple[KeyPath, Any]:
    """Return what stands beside [job] or in it, None without it, and where."""
    inside = name in job
    if inside and name in file.tables:
        file.fault((name,), f"{name} appears in [job] too; leave one out")
    path: KeyPath = ("job", name) if inside else (name,)
    return path, job[name] if inside else file.tables.get(name)


def listed(file: TomlFile, job: Row, name: str) -> tuple[KeyPath, list[Row]]:
    """Return a list of tables, beside [job] or in it, and where it stands."""
    path, tables = beside(file, job, name)
    return path, rows_of(file, path, name, tables)


def rows_of(file: TomlFile, path: KeyPath, name: str, tables: object) -> list[Row]:
    """Return a list of tables; what is none is a fault."""
    tables = [] if tables is None else tables
    if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
        file.fault(path, f"{name} is not a list; write [[{name}]] for each")
        return []
    return tables


def table(file: TomlFile, job: Row, name: str, keys: Sequence[str], checks: Checks) -> Row:
    """Return a table of a job's terms, empty when the job has none."""
    path, section = beside(file, job, name)
    if section is None:
        return {}
    if not isinstance(section, dict):
        file.fault(path, f"{name} is not a table; write [{name}]")
        return {}
    return keys_of(file, path, section, keys, checks)


def keys_of(file: TomlFile, path: KeyPath, row: Row, keys: Sequence[str], checks: Checks) -> Row:
    """Return the known keys of a table, each as it is kept."""
    named = file.refuse_unknown(path, row, keys)
    return {each: checked(file, (*path, each), row[each], checks) for each in named}


def missing_in(file: TomlFile, path: KeyPath, row: Row, needed: Sequence[str], what: str) -> None:
    """Note a fault for what a table lacks; `what` names it."""
    if missing := [name for name in needed if name not in row]:
        file.fault(path, f"{what} has no {', '.join(missing)}")


def refuse_twice(file: TomlFile, path: KeyPath, names: Sequence[object], what: str) -> None:
    """Note a fault for each name of a list that stands there before; case and blanks aside."""
    folded = [None if name is None else name_of(str(name)) for name in names]
    for place, name in enumerate(folded):
        if name and name in folded[:place]:
            file.fault((*path, place), f'{what} "{names[place]}" appears twice')
