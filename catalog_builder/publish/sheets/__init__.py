"""Printed sheets: typeset as PDF, divided into parts, and what several audiences' sheets share."""
