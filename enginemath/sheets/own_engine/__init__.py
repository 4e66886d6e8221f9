"""An engine of one's own: a new sheet, its readings in bench order, each kept at once."""
