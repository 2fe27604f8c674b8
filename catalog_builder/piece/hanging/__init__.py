"""How a piece hangs: its rings and what holds them, the loads they carry, and the wind."""
