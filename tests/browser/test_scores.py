"""Pages can be used and found by all, and keep to good practice: Lighthouse's scores.

Its score for speed follows from a clock, which a busy machine disturbs: ``python -m tests.benchmark --only scores``
gives it. What makes a page quick or slow is held in ``test_weight.py`` and ``test_loading.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.checkers import CheckersMissingError, hold_checkers
from tests.browser.host import serving
from tests.browser.kinds import CATALOGUE
from tests.browser.scores import LEAST, PAGES, scores_of
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser

HELD = ("accessibility", "best-practices", "seo")


@pytest.fixture(scope="module")
def host(demo: Demo) -> Iterator[str]:
    """A host on this machine that serves the catalogue alone, as it would be put on a real one."""
    try:
        hold_checkers()
    except CheckersMissingError as fault:
        pytest.fail(str(fault), pytrace=False)
    with serving(demo.output / "catalogue") as address:
        yield address


@pytest.mark.parametrize("kind", PAGES)
def test_page_scores_on_a_phone(host: str, tmp_path: Path, kind: str) -> None:
    """On a phone, a page scores at least 95 for access, good practice and being found."""
    scores, short = scores_of(host + CATALOGUE[kind].removeprefix("catalogue/"), HELD, tmp_path)
    assert set(scores) == set(HELD)
    assert min(scores.values()) >= LEAST, f"{scores}: {short}"
