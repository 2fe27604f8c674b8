"""One made piece: its foil and solder, what it weighs and how it balances."""
