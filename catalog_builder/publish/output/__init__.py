"""Output folders: written whole and put in place together; the user's own files are kept."""
