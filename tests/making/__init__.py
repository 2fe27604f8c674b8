"""Tests of catalog_builder.making."""
