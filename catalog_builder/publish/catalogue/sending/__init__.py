"""The catalogue to send: as one page and as a book, each a file of its own."""
