"""The drawing: from SVG text to numbered pieces, seams and rims."""
