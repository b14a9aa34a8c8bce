"""Shared settings: the same examples on every run, more of them when asked; Ctrl-C is heard."""

import os
import signal

import hypothesis

hypothesis.settings.register_profile("usual", derandomize=True, deadline=None, max_examples=100)
hypothesis.settings.register_profile("thorough", deadline=None, max_examples=5000)
hypothesis.settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))

# A job that a shell runs in the background is deaf to Ctrl-C, and so are its children: tests that press it would wait
# for hours.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
