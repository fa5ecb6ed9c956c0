"""Compiled kernels: numba, and C as a yardstick.  ``python -m drillyard.adapters.kernel`` compiles with progress."""

from drillyard.adapters.kernel.compiled import is_compiled, load_kernel

__all__ = ["is_compiled", "load_kernel"]
