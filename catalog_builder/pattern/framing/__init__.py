"""Channel or moulding round the rim of a flat panel."""
