"""Edits of every kind, one after another, and what is published after each held against a build from nothing."""
