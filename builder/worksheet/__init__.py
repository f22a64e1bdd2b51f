"""Worksheets worked out at the bench, compared with their examples, used in steps, handed to the browser."""

from builder.worksheet.example import Compared, compare, holds
from builder.worksheet.inline import in_step, one_formula, unread_defaults
from builder.worksheet.work import ITEM, Entry, Line, Worked, read_input, shown_as, work, written

__all__ = [
    "ITEM",
    "Compared",
    "Entry",
    "Line",
    "Worked",
    "compare",
    "holds",
    "in_step",
    "one_formula",
    "read_input",
    "shown_as",
    "unread_defaults",
    "work",
    "written",
]
