"""Bare formulas, each written once, on any number: a float, an array, a quantity, an uncertain one."""
