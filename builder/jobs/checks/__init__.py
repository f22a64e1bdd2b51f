"""The checks of a whole job: one subject a file, each a generator of findings."""
