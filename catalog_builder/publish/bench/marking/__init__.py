"""The marking page of a product: its pattern large, to give each piece its glass, number and grain. Private."""
