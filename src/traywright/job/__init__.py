"""The job: the stages in their order; the only place that knows them all."""

from traywright.job.explain import Explained, explain
from traywright.job.progress import Progress, silent
from traywright.job.result_model import ResultModel
from traywright.job.run import JobRan, run_job_folder
from traywright.job.schema import result_schema
from traywright.job.told_back import ToldBack, read_back_program

__all__ = [
    "Explained",
    "JobRan",
    "Progress",
    "ResultModel",
    "ToldBack",
    "explain",
    "read_back_program",
    "result_schema",
    "run_job_folder",
    "silent",
]
