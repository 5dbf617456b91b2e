"""The job: the stages in their order; the only place that knows them all."""

from traywright.job.drawing_typed import DrawingTyped, SimpleTyped, cut_as_drawn, cut_simple
from traywright.job.explain import Explained, explain
from traywright.job.layout_model import layout_schema
from traywright.job.layout_options import LayoutTyped
from traywright.job.layout_told import LayoutTold, lay_out_outlines
from traywright.job.part_told import PartTyped, tell_part
from traywright.job.photo_paper import write_photo_sheet
from traywright.job.progress import Progress, silent
from traywright.job.ran import JobRan
from traywright.job.result_model import ResultModel
from traywright.job.run import run_job_folder
from traywright.job.schema import result_schema
from traywright.job.told_back import ToldBack, read_back_program

__all__ = [
    "DrawingTyped",
    "Explained",
    "JobRan",
    "LayoutTold",
    "LayoutTyped",
    "PartTyped",
    "Progress",
    "ResultModel",
    "SimpleTyped",
    "ToldBack",
    "cut_as_drawn",
    "cut_simple",
    "explain",
    "lay_out_outlines",
    "layout_schema",
    "read_back_program",
    "result_schema",
    "run_job_folder",
    "silent",
    "tell_part",
    "write_photo_sheet",
]
