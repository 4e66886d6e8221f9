"""The hand calculation, step by step: rightly worked, or with a slip in it."""
