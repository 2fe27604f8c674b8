"""Drawings on paper whose truth is known, and how near a trace of their pictures comes to it."""
