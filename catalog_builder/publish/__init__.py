"""Values become files: one module for each audience."""

import logging

# The plotting library warns of a home that cannot be written to; it then works in a folder of its own for the time.
logging.getLogger("matplotlib").setLevel(logging.ERROR)
