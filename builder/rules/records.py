"""Faults that are found while a job is read: their pages; the jobs report them."""

from builder.rules.catalogue import reader_fault

reader_fault(
    "GL-020",
    "sheet-of-another-format",
    """
    A filled sheet is of a format that this release does not read.

    Why: Its numbers may mean something else, and a record that is half understood proves nothing.

    Instead: Open it with the release that wrote it, or update this one.
""",
)
reader_fault(
    "GL-021",
    "name-unknown-on-a-job",
    """
    A job names something that the manual does not have: a characteristic, a size step, a position, an
    instrument, a procedure, a step or a hold.

    Why: A supplier's limit for a characteristic that is misspelt judges nothing, and a size step that nobody
    knows leaves every limit where the book has it.

    Instead: Look at the spelling; the hint names the nearest one that is known.
""",
)
