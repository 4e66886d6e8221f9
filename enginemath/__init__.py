"""Volumes and ratios of an engine, from bench measurements."""
