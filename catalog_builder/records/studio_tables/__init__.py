"""Tables of ``content/studio.toml``, a module each."""
