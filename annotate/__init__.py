"""The domain and engine of Benchreel: what a reed maker's recordings become."""

__version__ = "0.1.0"
