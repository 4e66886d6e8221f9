"""The stored notebooks are read by `test_old_files.py`; they are no tests of their own."""

collect_ignore = ["stored"]
