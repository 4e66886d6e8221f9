"""Settings for all tests."""

from __future__ import annotations

from hypothesis import settings

# A busy machine is slow now and then; that is no fault of the formula that is tried.
#
# Examples are drawn alike each time, so that a test fails where it is broken and not at whoever
# comes by: a search with other examples is for who changes a formula or a drawing, not for CI.
#     pytest --hypothesis-profile=search tests/drawing
settings.register_profile("kit", deadline=None, derandomize=True)
settings.register_profile("light", deadline=None, derandomize=True, max_examples=20)
"""What `.ci/both-ends` runs."""
settings.register_profile("search", deadline=None)
settings.load_profile("kit")
