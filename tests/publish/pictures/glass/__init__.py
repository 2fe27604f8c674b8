"""Tests of catalog_builder.publish.pictures.glass."""
