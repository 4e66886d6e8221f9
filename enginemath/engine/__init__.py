"""The engine: its parts and their limits, the stack above the piston, and what follows from it."""
