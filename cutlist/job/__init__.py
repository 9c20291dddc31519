"""The job file: its tables, and every mistake in it told at once."""

from cutlist.job.read import parse_job, read_job
from cutlist.job.tables import SAW_DEFAULTS, CncTable, Job, RafterTable, RoofTable, WingTable
from cutlist.job.values import EndForm, Tail

__all__ = [
    "SAW_DEFAULTS",
    "CncTable",
    "EndForm",
    "Job",
    "RafterTable",
    "RoofTable",
    "Tail",
    "WingTable",
    "parse_job",
    "read_job",
]
