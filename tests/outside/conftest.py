"""The demo, built once for the checks of what is published."""

from __future__ import annotations

import pytest

from tests.publish.demo import Demo, demo_in


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """The demo studio's whole output, as of a fixed day."""
    return demo_in(tmp_path_factory.getbasetemp() / "demo")
