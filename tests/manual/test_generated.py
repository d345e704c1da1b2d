"""Tables and pictures of the pages that the code can tell are the code's own."""

import pytest

from tests.manual._generated import PARTS, pattern
from tests.manual._pages import ROOT


@pytest.mark.parametrize(("name", "mark"), PARTS)
def test_a_generated_part_is_the_codes_own(name: str, mark: str) -> None:
    """What stands between the marks is what the code gives; `_generated` puts it right."""
    found = pattern(mark).search((ROOT / name).read_text(encoding="utf-8"))

    assert found
    assert found.group() == PARTS[name, mark]()
