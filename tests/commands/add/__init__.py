"""The command ``add`` and its parts."""
