"""Tests of catalog_builder.commands.preview."""
