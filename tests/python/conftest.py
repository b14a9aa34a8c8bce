"""Shared settings: the same examples on every run, more of them when asked."""

import os

import hypothesis

hypothesis.settings.register_profile("usual", derandomize=True, deadline=None, max_examples=100)
hypothesis.settings.register_profile("thorough", deadline=None, max_examples=5000)
hypothesis.settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))
