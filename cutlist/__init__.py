"""Roof rafters from a job file to parts ready for the saw and the CNC."""

__version__ = "0.1.0"
