"""What each variant costs: cards, lists and tables. Private."""
