"""Memory that pictures took goes back to the machine as soon as they are gone.

Each stretch of a film has a decoder and an encoder of its own, with threads of
their own. glibc keeps what they free in pools of each thread, where the next
ones do not find it: in a lesson of twenty 1080p clips that came to more than
100 MB. So blocks as large as a picture are asked of the machine one by one and
given back one by one (mallopt(3), M_MMAP_THRESHOLD). Elsewhere nothing is done.
"""

from __future__ import annotations

import ctypes
import sys
from functools import cache

LARGE_BYTES = 1 << 20  # a picture of 720 lines has more (yuv420p), and everything that is small has less
_M_MMAP_THRESHOLD = -3  # its number in glibc's malloc.h


@cache
def return_large_blocks() -> None:
    """From now on, in this process."""
    if sys.platform != "linux":
        return
    try:
        ctypes.CDLL(None).mallopt(_M_MMAP_THRESHOLD, LARGE_BYTES)
    except (OSError, AttributeError):  # another C library
        return
