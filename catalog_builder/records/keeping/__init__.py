"""Values written into the maker's files; the rest of each file does not change."""
