"""What comes back from a class: read, judged, and told to student and instructor."""
