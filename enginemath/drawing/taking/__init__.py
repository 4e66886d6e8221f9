"""Where a reading is taken, and with what: the pictures of the record page and of its guide."""
