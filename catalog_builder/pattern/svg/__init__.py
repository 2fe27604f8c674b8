"""SVG text to marks: the tree, its units and transforms, paths and shapes."""
