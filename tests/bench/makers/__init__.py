"""Makers of invented bench recordings with known sounds, for measuring the ear of the program.

Three makers share nothing but the mixing desk (``desk``): each has its own
voices, tones, crows and strokes. The decision in ``annotate/listen/sounds.py``
was set by looking at maker A only; B and C are held out. They need the
commands espeak-ng, flite, fluidsynth and ffmpeg, all tests only.
"""
