"""Runs the command line: ``python -m catalog_builder``, and the command that is installed."""

import sys


def main() -> None:
    """Run the command line. Ctrl-C that comes while it is still being read ends it in a sentence, too."""
    try:
        from catalog_builder.cli import main as command

        command()
    except KeyboardInterrupt:
        sys.stderr.write("Stopped. Nothing was published. What was published before stands as it was.\n")
        sys.exit(130)


if __name__ == "__main__":
    main()
