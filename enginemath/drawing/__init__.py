"""Pictures to scale, as SVG text."""
