"""Readings that a student takes from an engine in the bay, and what is worked out from them."""
