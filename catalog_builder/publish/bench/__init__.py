"""The bench's own papers. Private: costs, suppliers and floor prices."""
