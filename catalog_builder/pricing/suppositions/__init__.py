"""What if: a supposed change of rates, rules and materials, and what a given price would leave."""
