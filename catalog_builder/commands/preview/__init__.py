"""The server of ``look``, and what the marking page asks of it."""
