"""Wall files and options into a job, with every fault of the input gathered, located and raised together.

The steps: source (bytes to tables), values (one value by the kind of its field), structure (tables to
input classes), outline (the top of the wall), checks (what must fit together), assemble (the job). Options
build the same tables as a file and go the same way.
"""

from __future__ import annotations

import os

from bracing.job.job import Job
from bracing.reading.assemble import Origin, assemble, content_sha256
from bracing.reading.options import job_from_options
from bracing.reading.source import SourceText, read_source, source_of, tables_of

__all__ = ["content_sha256", "job_from_options", "job_from_text", "job_of", "read_job"]


def read_job(path: str | os.PathLike[str]) -> Job:
    """Read a wall file.

    Args:
        path: the file.

    Returns:
        The job; its hash is of the bytes of the file (and of the fasteners file it names).

    Raises:
        InputError: every fault in it.
    """
    return job_of(read_source(path))


def job_of(source: SourceText) -> Job:
    """Give the wall of a file as it was read.

    Args:
        source: the file.

    Raises:
        InputError: every fault in it.
    """
    return assemble(tables_of(source), Origin(source.file, source.sha256))


def job_from_text(text: str, file: str) -> Job:
    r"""Read the text of a wall file.

    Args:
        text: the text.
        file: its name; a fasteners file it names is looked for beside it.

    Returns:
        The job.

    Raises:
        InputError: every fault in it.

    Example:
        >>> job = job_from_text('[wall]\nlength = "36 ft"\nheight = "10 ft"', "demo.toml")
        >>> job.wall.top, sorted(job.declared)
        (((0.0, 120.0), (432.0, 120.0)), ['wall.height', 'wall.length'])
    """
    return job_of(source_of(text.encode("utf-8", "surrogatepass"), file=file))
