"""Tests of catalog_builder.records.drawing."""
