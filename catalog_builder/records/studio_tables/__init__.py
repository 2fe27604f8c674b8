"""Tables and keys of ``content/studio.toml`` that stand for themselves."""
