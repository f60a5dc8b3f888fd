"""Makers of invented bench recordings with known sounds, for measuring the ear of the program.

Four makers share nothing but the mixing desk (``desk``): each has its own
voices, tones, crows and strokes. They need the commands espeak-ng, flite,
fluidsynth and ffmpeg, for tests only. What was tuned on which is told in
``tests/bench/sounds_accuracy.py``.
"""
