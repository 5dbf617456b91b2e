"""One thread for the linear algebra, so that the number of cores never decides a digit."""

from __future__ import annotations

import os

_VARIABLES = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS")


def one_thread() -> None:
    """Set one BLAS thread; call before numpy is imported, in the command line and in each worker."""
    for name in _VARIABLES:
        os.environ[name] = "1"
