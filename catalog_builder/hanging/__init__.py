"""What a piece weighs, how it balances, and the hardware that holds it."""
