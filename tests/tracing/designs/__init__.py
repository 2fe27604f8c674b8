"""Designs as strokes of a pen, with the pieces that they part."""
