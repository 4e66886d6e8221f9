"""How sure a result is: repeats, limits of tools, the error budget, draws by Monte Carlo."""
