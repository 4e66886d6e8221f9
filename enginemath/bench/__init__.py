"""At the bench: readings to volumes, the tools, and how sure each reading is."""
