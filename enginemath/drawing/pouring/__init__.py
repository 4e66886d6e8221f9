"""Pours: the chamber under its plate, the piston at a known depth, the liquid in both."""
