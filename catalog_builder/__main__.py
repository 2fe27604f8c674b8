"""Runs the command line: ``python -m catalog_builder``, and the command that is installed."""

import gc
import os
import sys

# A build's values hold each other like the branches of a tree: a search for rings among them costs a tenth of its time.
_BETWEEN_SEARCHES = 100_000


def main() -> None:
    """Run the command line. Ctrl-C that comes while it is still being read ends it in a sentence, too."""
    gc.set_threshold(_BETWEEN_SEARCHES, 50, 50)
    try:
        from catalog_builder.cli import main as command

        command()
    except KeyboardInterrupt:
        sys.stderr.write("Stopped. Nothing was published. What was published before stands as it was.\n")
        sys.exit(130)
    except OSError:
        if _can_print():
            raise
        # What is still in the buffer would be tried again when the program ends.
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115, PTH123
        sys.stderr.write(
            "What there is to say could not be printed: the standard output is closed, or its disk is full.\n"
            "What the command had done by then stands; run it again with room for what it says.\n"
        )
        sys.exit(1)


def _can_print() -> bool:
    try:
        sys.stdout.write(" ")
        sys.stdout.flush()
    except (OSError, ValueError):
        return False
    return True


if __name__ == "__main__":
    main()
