"""Faults that are found while a file is read: their pages; the reader and the decoder report them."""

from builder.rules.catalogue import reader_fault

reader_fault(
    "GL-001",
    "file-not-opened",
    """
    A file of the manual cannot be opened.

    Why: What cannot be read cannot be checked, and a builder would miss it at the bench.

    Instead: Look at its name and at who may read it.
""",
)
reader_fault(
    "GL-002",
    "file-too-large",
    """
    A file of the manual is larger than 4 MiB.

    Why: A spec table of that size is a slip, such as a scan saved under the wrong name, and it makes every
    check slow.

    Instead: Split it into several files: one engine family or one procedure in each.
""",
)
reader_fault(
    "GL-003",
    "file-not-utf-8",
    """
    A file holds bytes that are not UTF-8 text.

    Why: A `±` or a `°` in another encoding turns into something else, and a limit with it.

    Instead: Save the file as UTF-8. Nearly every editor offers it beside the file's name.
""",
)
reader_fault(
    "GL-004",
    "tab-for-indent",
    """
    A tab stands where only spaces may: in the indent of a line.

    Why: A tab is as wide as each editor likes, so nobody can see what belongs to what.

    Instead: Indent with spaces, two for each level.
""",
)
reader_fault(
    "GL-005",
    "yaml-broken",
    """
    The text is not YAML at this place: a quote, a colon, a bracket or an indent is missing or wrong.

    Why: Nothing after the break can be read, so the rest of the file is not checked.

    Instead: Look at this line and the one before. Inside `{…}` and `[…]` a comma or a bracket ends the value,
    so sentences and limits with citations stand on lines of their own. A sentence with `: ` needs quotes.
""",
)
reader_fault(
    "GL-006",
    "file-empty",
    """
    A file of the manual has nothing in it.

    Why: It looks as if the family or the procedure were written, and no sheet comes of it.

    Instead: Write its first key, or remove the file.
""",
)
reader_fault(
    "GL-007",
    "nested-too-deeply",
    """
    A file is nested deeper than 32 levels.

    Why: Nothing in a manual is; a slip of the indent is the usual cause.

    Instead: Look at the indent of the lines before, and write it flatter.
""",
)
reader_fault(
    "GL-008",
    "key-written-twice",
    """
    The same key stands twice in one mapping.

    Why: Only one of the two values could count, and a reader cannot tell which. A limit typed twice is how an
    old value lives on beside the new one.

    Instead: Keep the one that is right. Sources that disagree are a list under one limit kind.
""",
)
reader_fault(
    "GL-009",
    "anchor-or-alias",
    """
    YAML's anchors (`&name`) and aliases (`*name`) are used.

    Why: A value that is written elsewhere cannot be read where it is used, and a change travels unseen.

    Instead: Write the value out where it is used.
""",
)
reader_fault(
    "GL-010",
    "tag-used",
    """
    A YAML tag such as `!!float` is used.

    Why: Every value is kept as typed, so that `0.0020` keeps its zeros; a tag asks for something else.

    Instead: Write the plain value.
""",
)
reader_fault(
    "GL-011",
    "second-document",
    """
    A second YAML document begins in the file.

    Why: One file holds one family, one procedure or one table; a second document would never be shown.

    Instead: Move it to a file of its own, or remove the line `---`.
""",
)
reader_fault(
    "GL-012",
    "key-not-a-word",
    """
    A list or a mapping stands where the name before a colon belongs.

    Why: Such a key has no name by which anything could refer to it. A brace in front of a sentence does this:
    `{main.clearance} is too small` reads as a mapping.

    Instead: Write a word before the colon, and put quotes round a sentence that begins with a brace.
""",
)
reader_fault(
    "GL-013",
    "file-out-of-place",
    """
    A file lies where no part of a manual has its place.

    Why: It is never read, so what it says reaches no sheet and no check.

    Instead: Put families into `specs/engines/`, worksheets into `specs/worksheets/` and procedures into
    `procedures/<phase>/`, and keep the names of the shared tables.
""",
)
reader_fault(
    "GL-014",
    "id-used-twice",
    """
    Two files give the same id to an engine family or to a procedure.

    Why: Only one of the two would be shown, and nobody could say which.

    Instead: Give each file an id of its own, which is the name of the file.
""",
)
reader_fault(
    "GL-101",
    "part-missing",
    """
    Something that must be there is missing.

    Why: A row without its kind cannot be judged, and a list that is left out looks like one that was
    forgotten.

    Instead: Write the key with its value. Where a list is empty on purpose, write `none`.
""",
)
reader_fault(
    "GL-102",
    "key-not-known",
    """
    A key is not known at this place.

    Why: A misspelt key would be passed over in silence, and its value with it.

    Instead: Look at its spelling and its indent. Inside `{…}` a comma ends a sentence, and what follows reads
    as a key: put the sentence on a line of its own.
""",
)
reader_fault(
    "GL-103",
    "wrong-shape",
    """
    A list, a mapping or one value stands where another of the three belongs.

    Why: What it says cannot be told from its shape, so it reaches no sheet.

    Instead: Write a list one item a line, each after `- `; a mapping as `name: value` lines, indented; one
    value after the colon.
""",
)
reader_fault(
    "GL-104",
    "value-not-readable",
    """
    A value cannot be read as what belongs here: a limit, a quantity, an order, a count, a formula, a trait.

    Why: A value that the checks cannot read would not be judged, and a reading beside it would pass unseen.

    Instead: Write it as the message says. Limits are written as the trade writes them, with a unit and a
    citation: `0.0012 to 0.0022 in [manual p. 22]`, `0.004 in max [manual p. 23]`.
""",
)
