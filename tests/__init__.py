"""Tests: they mirror the package; what is held to a published source stands in ``outside``."""
