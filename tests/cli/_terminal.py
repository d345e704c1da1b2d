"""The program run in a pseudo-terminal, as a user has it."""

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from collections.abc import Mapping
from pathlib import Path

PROGRAM = "from ledger.cli.main import main; main()"
ROOT = Path(__file__).resolve().parents[2]


def seen_in_terminal(
    *words: object,
    columns: int = 80,
    environment: Mapping[str, str] = os.environ,
    beforehand: str = "",
) -> str:
    """Return all that a command writes to a terminal of a width; `beforehand` is run first."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    command = [sys.executable, "-c", f"{beforehand}\n{PROGRAM}", *map(str, words)]
    given = {**environment, "PYTHONPATH": str(ROOT), "TERM": "xterm"}
    program = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=given)
    os.close(theirs)
    seen = b"".join(iter(lambda: _read(ours), b""))
    os.close(ours)
    program.wait()
    return seen.decode().replace("\r\n", "\n")


def _read(terminal: int) -> bytes:
    try:
        return os.read(terminal, 65_536)
    except OSError:  # Nobody writes to it any more.
        return b""
