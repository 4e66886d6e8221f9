"""The lesson pages without a server: Python runs in the page's own worker.

A folder of static files for any web host, and one file that opens with a double-click.
"""
