"""The next batch: what a plan cuts, buys and times. Private."""
