"""Glass as it is painted: its colours, its plain words for them, its light."""
