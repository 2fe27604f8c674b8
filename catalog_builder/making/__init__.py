"""What one item takes: materials and minutes."""
