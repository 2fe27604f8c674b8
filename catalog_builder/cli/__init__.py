"""The commands: parse, call, print. No arithmetic."""

from __future__ import annotations

from catalog_builder.cli import designs, prices, publishing
from catalog_builder.cli.command_group import main

__all__ = ["designs", "main", "prices", "publishing"]
