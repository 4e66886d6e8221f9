"""For a whole class: an engine for each student, and the marks of what comes back."""
