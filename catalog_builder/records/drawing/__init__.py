"""What a record says of its drawing: its files, its marks, its parts, and who may see it."""
