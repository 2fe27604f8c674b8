"""Values written into files of the maker, all else in them left as it is."""
