"""The checks of `.ci/run` leave no test out."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
QUICK, SLOW = ' -n auto -m "not slow"', " -n auto -m slow"


def runs_of_tests(name: str) -> list[str]:
    """Return the options of each run of pytest that a file names, in their order."""
    text = (ROOT / name).read_text(encoding="utf-8")
    return re.findall(r"python\"? -m pytest(.*?)(?: -p no:cacheprovider)?$", text, re.MULTILINE)


def test_ci_runs_the_tests_as_the_readme_does_and_then_the_slow_ones() -> None:
    """README's command and the run of the slow tests after it make up all tests."""
    assert runs_of_tests("README.md") == [QUICK]
    assert runs_of_tests(".ci/run") == [QUICK, SLOW]


def test_both_hooks_are_installed_as_the_developers_page_has_it() -> None:
    """The command above the hooks installs each stage that they name."""
    hooks = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
    command = re.findall(r"pre-commit install.*", hooks)
    stages = {"pre-commit", *re.findall(r"stages: \[(.*)\]", hooks)}

    assert [set(re.findall(r"-t (\S+)", each)) for each in command] == [stages]
    assert command[0] in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
