"""Jupyter's own Python kernel without the debugger, which no lesson uses.

The debugger takes 8 MB in each kernel, more than the kit itself, and a class on one machine has a
kernel for each student.
"""

from __future__ import annotations

import sys


def main() -> None:
    """Start the kernel as where no debugger is installed."""
    sys.path.pop(0)  # this folder: nothing in it is for a lesson to import
    sys.modules["debugpy"] = None  # type: ignore[assignment]
    from ipykernel.kernelapp import launch_new_instance

    launch_new_instance()


if __name__ == "__main__":
    main()
