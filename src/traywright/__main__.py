"""The command ``traywright``."""

from __future__ import annotations

from traywright.base.threads import one_thread


def main() -> None:
    """Run the command line with one BLAS thread."""
    one_thread()
    from traywright.cli import run  # noqa: PLC0415  # reason: numpy may be imported only after the threads are set

    run()


if __name__ == "__main__":
    main()
