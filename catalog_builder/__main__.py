"""Runs the command line: ``python -m catalog_builder``."""

from catalog_builder.cli import main

if __name__ == "__main__":
    main()
