"""Measuring tools, drawn as they stand at a given setting, to be read.

Where a tool is drawn to be read, title and description name the marks that a sighted reader
sees, never the reading itself.
"""
