"""A drawing on paper, photographed or scanned, becomes line work true to scale."""
