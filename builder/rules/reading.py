"""Faults that are found while a file is read: their pages; the reader and the decoder report them."""

from builder.rules.catalogue import reader_fault

reader_fault("GL-001", "file-not-opened", """
    A file of the manual cannot be opened.

    Why: What cannot be read cannot be checked, and a builder would miss it at the bench.

    Instead: Look at its name and at who may read it.
""")
