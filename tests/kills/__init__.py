"""Builds that are killed at random moments, and what stands published after each."""
