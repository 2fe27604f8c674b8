"""Tests of plans: glass, hours and shopping."""
