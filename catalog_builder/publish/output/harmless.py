"""Texts for spreadsheet cells that cannot run as formulas."""

from __future__ import annotations

# What begins a formula in one spreadsheet or another, the wide forms of the signs for those that take them so.
# Source: OWASP Application Security Verification Standard 5.0, 1.2.10 (= + - @, tab, null); the rest is caution.
BEGINNINGS = ("=", "+", "-", "@", "\t", "\0", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def harmless(text: str) -> str:
    """Keep a text from running as a formula: an apostrophe goes before what could begin one."""
    return f"'{text}" if text.startswith(BEGINNINGS) else text
