"""Plots on private pages, drawn by matplotlib and put into the page."""
