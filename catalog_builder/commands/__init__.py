"""The commands: each module does what one command asks, and words what it prints."""
