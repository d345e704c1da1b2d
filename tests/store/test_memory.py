"""How much memory the book may take is named by the environment."""

import pytest

from tests.conftest import Yard


@pytest.mark.slow
def test_too_little_memory_is_one_message_and_changes_nothing(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever runs out of memory is told what to set; the book stays as it was."""
    yard.new()
    crew = "worker_id,name,trade,grade\nA1,Ada,joiner,skilled\n"
    path = yard.write("crew.csv", crew)
    monkeypatch.setenv("FAIRHOURS_MEMORY", "1MiB")
    said = yard.run("load", "crew", path, ok=False).stderr
    monkeypatch.setenv("FAIRHOURS_MEMORY", "64MiB")
    batches = yard.json("history")
    yard.run("load", "crew", path)

    assert said.startswith(
        "1MiB of memory is not enough, nothing was written; set FAIRHOURS_MEMORY higher (4GiB) "
        "and try again (Out of Memory"
    )
    assert said.count("\n") == 1
    assert [each["sequence"] for each in batches] == [1]


@pytest.mark.parametrize("size", ["lots", "-1GiB", "4", ""])
def test_what_is_no_size_is_refused(yard: Yard, size: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A size that cannot be read is refused before the book is opened."""
    yard.new()
    monkeypatch.setenv("FAIRHOURS_MEMORY", size)
    said = yard.run("history", ok=False)

    assert said.exit_code == 2
    assert said.stderr == f'FAIRHOURS_MEMORY "{size}": is not a valid size; write 2GiB or 800MiB\n'
