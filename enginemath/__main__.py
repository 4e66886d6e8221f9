"""`python -m enginemath` is the command `enginemath`."""

from enginemath.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
