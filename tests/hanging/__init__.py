"""Tests of catalog_builder.hanging."""
