"""Bare formulas, each written once: for a float, an array, a quantity, an uncertain number."""
