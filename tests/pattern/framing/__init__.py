"""Tests of frames round a panel."""
