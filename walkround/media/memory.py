"""Memory handed back to the system between two stages."""

import ctypes
import gc
import sys

#: Of mallopt: memory of this size and more is the system's own business, and goes back to it when it is freed.
_M_MMAP_THRESHOLD, _LARGE = -3, 4 << 20


def hand_back() -> None:
    """Hand memory that nothing holds any more back to the system.

    The reading's tables are tied in rings that only the collector takes apart, and the GNU C library keeps what was
    freed for itself: hundreds of megabytes, which a decoder of 4K pictures would take on top. From here on it keeps no
    pictures of that size either. With another C library only the collector runs.
    """
    gc.collect()
    if sys.platform == "linux":
        library = ctypes.CDLL(None)
        if hasattr(library, "malloc_trim") and hasattr(library, "mallopt"):
            library.mallopt(_M_MMAP_THRESHOLD, _LARGE)
            library.malloc_trim(0)
