"""What is changed on an engine so that it suits its fuel: cuts, fitted parts, the plan, the order.

Each change gives a new engine, so that volumes, squish, deck clearance and ratio follow. A change
that would stand a piston into the head is refused. Whether a cut is wise is for the maker's
minimum and a qualified machine shop to decide.
"""
