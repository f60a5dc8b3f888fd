"""A recording's decoded sound that lies in a file and is read stretch by stretch.

Conventions: float32 mono, full scale 1.0, little-endian, nothing else in the
file. What was read goes when it is let go of; an array mapped from disk would
keep every page that was ever looked at, 0.9 GB of four hours.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]


class StoredSound:
    """The sound in ``path``. ``size`` and slices are those of an array of shape (n,); every slice is read anew."""

    ndim = 1

    def __init__(self, path: Path) -> None:
        self._path = path
        self.size = path.stat().st_size // 4

    def __getitem__(self, part: slice) -> Samples:
        start, stop, _ = part.indices(self.size)
        read: Samples = np.fromfile(self._path, "<f4", max(stop - start, 0), offset=start * 4)
        return read


Whole = Samples | StoredSound  # what can be gone through from start to end
