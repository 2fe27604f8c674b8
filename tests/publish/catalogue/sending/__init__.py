"""Tests of catalog_builder.publish.catalogue.sending."""
