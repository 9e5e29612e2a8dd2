"""Stands in for the making of rows: its process ends at the vessels whose spec says so."""

from __future__ import annotations

import os

from proposal.yard.row import Chunk, Made

END = b"end the process"


def rows_or_end(chunk: Chunk) -> list[Made]:
    """A text for each vessel, without computing anything."""
    made = []
    for task in chunk.tasks:
        spec = dict(task.own.files)["spec.yaml"]
        if END in spec:
            os._exit(9)
        made.append(Made(task.number, spec, True))
    return made
