"""Faults that are found while a shop's folder is laid over its base: their pages; the reader reports them."""

from builder.diagnostics import Severity
from builder.rules.catalogue import reader_fault

reader_fault(
    "GL-031",
    "base-not-there",
    """
    The folder that `shop.yaml` names as the base is not there, or holds no manual.

    Why: The shop's sheets would be made of its own few files alone, without all that the base says.

    Instead: Name the folder in which `specs/` and `procedures/` of the base stand, told from the shop's own:
    `base: ../shared-manual`.
""",
)
reader_fault(
    "GL-032",
    "base-extends-itself",
    """
    A base names, directly or by way of others, a folder that extends it.

    Why: Nobody could say which of the two is laid over the other.

    Instead: Let the base name no folder that extends it; what both need stands in a base of its own.
""",
)
reader_fault(
    "GL-033",
    "part-of-the-base-written-again",
    """
    A folder writes a family, a procedure, an entry of a table, a row, a source or a tool that its base has.

    Why: One of the two would be lost in silence, and no reader of the sheet would know that they differ.

    Instead: Say what is different in a file that begins with `extends:`, with who decided it, when and why.
    Something else takes an id of its own.
""",
)
reader_fault(
    "GL-034",
    "extends-nothing",
    """
    A file extends a family or a procedure that the base does not have.

    Why: None of what it says reaches a sheet.

    Instead: Write the id that the base uses. A family or a procedure of the shop's own begins with `engine:`
    or `procedure:`, and the base of the shop is named in `shop.yaml`.
""",
)
reader_fault(
    "GL-035",
    "changed-part-not-there",
    """
    A change is made to a row or a step that the base does not have.

    Why: An aim for a row that is misspelt judges nothing, and a step put in after one that is gone has no
    place.

    Instead: Write the id of the row or the step as the base has it. A row of the shop's own is written under
    `add:`, in `rows:`.
""",
)
reader_fault(
    "GL-036",
    "replaced-value-not-named",
    """
    A change replaces what the base says and does not tell what that is.

    Why: When the base is changed later, nobody would see that the shop decided against another value.

    Instead: Write under `was:` what the base says now.
""",
)
reader_fault(
    "GL-037",
    "base-changed-under-it",
    """
    The base no longer says what a change of the shop replaced.

    Why: The shop decided against the old value or the old words. It may think otherwise of the new ones.

    Instead: Look at both and decide again. Then write under `was:` what the base says now, or take the change
    out.
""",
    Severity.WARNING,
)
reader_fault(
    "GL-038",
    "changed-twice",
    """
    A file changes the same value, or the same sentence, twice.

    Why: Only one of the two could count, and each has a reason of its own.

    Instead: Keep the one that holds, with its reason.
""",
)
reader_fault(
    "GL-039",
    "extension-out-of-place",
    """
    A file that extends a part of the base lies elsewhere than that part.

    Why: Whoever looks at the base's file does not find what the shop says against it.

    Instead: Give it the folder and the name that the file has in the base.
""",
)
reader_fault(
    "GL-040",
    "extension-says-nothing",
    """
    A file extends a part of the base and changes nothing of it.

    Why: It looks as if the shop had decided something, and the sheets are those of the base.

    Instead: Write the changes under `changes:`, each with `by`, `on` and `why`; or remove the file.
""",
    Severity.WARNING,
)
