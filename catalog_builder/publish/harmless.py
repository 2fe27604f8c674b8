"""Texts that a spreadsheet cannot run."""

from __future__ import annotations


def harmless(text: str) -> str:
    """Keep a text from running as a formula: what could begin one is led by an apostrophe."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
