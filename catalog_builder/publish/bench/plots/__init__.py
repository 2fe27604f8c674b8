"""Plots on private pages, drawn as SVG that stands in the page."""
