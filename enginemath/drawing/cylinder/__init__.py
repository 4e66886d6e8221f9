"""The cylinder in section: bore, piston, crank, and the volumes beside it."""
