"""`python -m enginemath` is the command `enginemath`."""

from enginemath.cli import main

raise SystemExit(main())
