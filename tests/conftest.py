"""Shared by all tests: property tests look at the same examples on every run.

What CI says of a commit then does not change from one run to the next. New examples are searched for by hand, with
``pytest --hypothesis-profile=search tests/narration/test_properties.py``; what that finds is mended and kept as a
test of its own.
"""

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=4000, deadline=None)
settings.load_profile("repeatable")
