"""Tests of catalog_builder.pattern."""
