"""The borders of fields become few smooth curves between junctions."""
