"""What all panels share: controls, boxes, the guess, the look."""
