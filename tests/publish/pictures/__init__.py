"""Pictures: photos made ready, and what is drawn from patterns."""
