"""Bad input: a folder for each fault, named for it, with the whole message beside it."""
