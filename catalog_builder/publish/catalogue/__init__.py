"""The public catalogue: pages, descriptions for machines, and the catalogue as one file to send."""
