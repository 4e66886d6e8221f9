"""Class sets about the engine in the bay: each group has a cylinder, and reads it itself."""
