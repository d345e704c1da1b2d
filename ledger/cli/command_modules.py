"""Which modules the commands stand in: none is imported before one of its commands is asked for."""

import inspect
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from importlib import import_module
from typing import Any

import typer

# Every command or group, in the order of the program's help, with the modules that add to it, in
# the order of the group's.
MODULES_OF: Mapping[str, tuple[str, ...]] = {
    "new": ("book_commands",),
    "migrate": ("book_commands",),
    "check": ("book_commands",),
    "history": ("book_commands",),
    "show": ("book_commands",),
    "export": ("book_commands",),
    "freeze": ("loads",),
    "held": ("corrections",),
    "reissues": ("corrections",),
    "entries": ("entries",),
    "trace": ("tracing",),
    "untagged": ("tags",),
    "tagging": ("tags",),
    "doubts": ("doubts",),
    "performance": ("figures",),
    "overrun": ("figures",),
    "changes": ("figures",),
    "status": ("figures",),
    "labour-variances": ("labour",),
    "measured-mile": ("labour",),
    "series": ("series",),
    "missing": ("periods",),
    "periods": ("periods",),
    "kept": ("periods",),
    "journal": ("journal",),
    "accruals": ("journal",),
    "hours": ("payroll",),
    "reconciliation": ("payroll",),
    "demo": ("pages",),
    "to-notify": ("notices",),
    "documents": ("sendings",),
    "sendings": ("sendings",),
    "claimable": ("claims",),
    "account": ("claims",),
    "work-in-progress": ("work_in_progress",),
    "final-account": ("final_account",),
    "week": ("weeks",),
    "achieved": ("estimates",),
    "help": ("manual",),
    "load": ("loads", "tags"),
    "guess": ("loads",),
    "release": ("corrections",),
    "reject": ("corrections",),
    "correct": ("corrections", "entries"),
    "confirm": ("corrections", "worker_aliases", "change_answers"),
    "reverse": ("entries",),
    "undo": ("entries",),
    "suggest": ("suggestions",),
    "tag": ("tags",),
    "settle": ("doubts",),
    "close": ("periods",),
    "reopen": ("periods", "doubts"),
    "sign": ("payroll",),
    "report": ("pages", "payroll", "month_packs"),
    "request": ("changes",),
    "enter": ("changes",),
    "submit": ("changes",),
    "accept": ("changes",),
    "complete": ("changes",),
    "record": ("change_answers", "changes", "sendings"),
    "save": ("changes",),
    "approve": ("change_answers",),
    "decline": ("change_answers",),
    "dispute": ("change_answers",),
    "instruct": ("change_answers",),
    "deny": ("change_answers",),
    "stop": ("change_answers",),
    "decide": ("change_answers",),
    "agree": ("change_answers", "final_account"),
    "issue": ("documents", "invoices"),
    "credit": ("invoices",),
    "quote": ("quotes", "estimates"),
    "withdraw": ("withdrawals", "change_answers"),
    "erase": ("erasing",),
    "forget": ("erasing",),
}


def commands_of(names: Iterable[str]) -> dict[str, Any]:
    """Return the commands of these names, as Typer makes them, each with all that it has below."""
    together = typer.Typer(rich_markup_mode=None)
    for module in dict.fromkeys(module for name in names for module in MODULES_OF[name]):
        together.add_typer(_added_by(module))
    made = typer.main.get_group(together).commands
    return {name: _in_order(made[name], MODULES_OF[name]) for name in names}


@cache
def _added_by(module: str) -> typer.Typer:
    """Return what a module adds to the program; to groups of other modules it adds once."""
    added = typer.Typer(rich_markup_mode=None)
    import_module(f"ledger.cli.{module}").add_to(added)
    return added


def _in_order(command: Any, modules: Sequence[str]) -> Any:
    """Return a command, or a group with its commands as its modules come, whichever came first."""
    if len(modules) > 1:
        below = command.commands.items()
        by_module = sorted(below, key=lambda each: modules.index(_module_of(each[1])))
        command.commands = dict(by_module)
    return command


def _module_of(command: Any) -> str:
    return str(inspect.unwrap(command.callback).__module__).rpartition(".")[2]
