"""The program itself, to which the commands belong."""

from __future__ import annotations

import click

from catalog_builder import __version__


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="catalog-builder")
def main() -> None:
    """Catalogue and price list of a stained-glass studio, from its own records."""
