"""A sound studio that is published once; each fault is then put into its content."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cli import main
from tests.broken.fault import DAY, lay_sound


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a project whose last build was good."""
    project = tmp_path_factory.mktemp("studio")
    lay_sound(project / "content")
    result = CliRunner().invoke(main, ["publish", "--folder", str(project), "--day", DAY.isoformat(), "--workers", "2"])
    assert result.exit_code == 0, result.output
    return project
