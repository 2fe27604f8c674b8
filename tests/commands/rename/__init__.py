"""Tests of the command ``rename``."""
