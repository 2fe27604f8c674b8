"""Tests of catalog_builder.records.keeping."""
