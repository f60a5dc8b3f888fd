"""Makers of invented bench recordings with known sounds, for measuring the ear of the program.

Makers A-D share nothing but the mixing desk (``desk``): each has its own
voices, tones, crows and strokes. Makers E, F and G share ``sitting``, which lays
sounds out otherwise and treats them otherwise, and have their own makers of
every kind too. They need the commands espeak-ng, flite,
fluidsynth and ffmpeg, for tests only. What was tuned on which is told in
``tests/bench/sounds_accuracy.py``.
"""
