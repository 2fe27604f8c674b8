"""Themes: templates, labels, and how numbers, dates and cautions are worded."""
