"""Settings for all tests."""

from __future__ import annotations

from hypothesis import settings

# A busy machine is slow now and then; that is no fault of the formula that is tried.
settings.register_profile("kit", deadline=None)
settings.register_profile("light", deadline=None, max_examples=20)  # .ci/both-ends
settings.load_profile("kit")
