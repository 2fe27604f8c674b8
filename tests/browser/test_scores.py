"""Pages can be used and found by all, and keep to good practice: Lighthouse's scores.

Its score for speed follows from a clock, which a busy machine disturbs: ``python -m tests.benchmark --only scores``
gives it. What makes a page quick or slow is held in ``test_weight.py`` and ``test_loading.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

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


@pytest.fixture(scope="module")
def scored(host: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[dict[str, int], list[str]]]:
    """Each page's scores and what cost it some; the pages are scored side by side, for each mostly waits."""
    profiles = tmp_path_factory.mktemp("scores")

    def score(kind: str) -> tuple[dict[str, int], list[str]]:
        return scores_of(host + CATALOGUE[kind].removeprefix("catalogue/"), HELD, profiles / kind)

    with ThreadPoolExecutor(len(PAGES)) as pool:
        return dict(zip(PAGES, pool.map(score, PAGES), strict=True))


@pytest.mark.parametrize("kind", PAGES)
def test_page_scores_on_a_phone(scored: dict[str, tuple[dict[str, int], list[str]]], kind: str) -> None:
    """On a phone, a page scores at least 95 for access, good practice and being found."""
    scores, short = scored[kind]
    assert set(scores) == set(HELD)
    assert min(scores.values()) >= LEAST, f"{scores}: {short}"
