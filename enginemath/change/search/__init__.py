"""Every combination of changes tried, and the best of them found."""
