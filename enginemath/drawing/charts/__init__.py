"""Charts to stand beside the drawings, in the same style."""
