"""Tests of catalog_builder.pricing.suppositions."""
