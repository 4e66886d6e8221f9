"""An engine for each student: drawn, written on worksheets, kept in the key."""
