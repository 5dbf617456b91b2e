"""The command line: parse, call one function of the job, show."""

from traywright.cli.commands import run

__all__ = ["run"]
