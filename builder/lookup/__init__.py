"""Find a value: which characteristics a few typed words mean, in what order, and what is known of each."""

from builder.lookup.answers import Answer, Entry, Lookup, find
from builder.lookup.index import Index, as_data
from builder.lookup.ranking import Hit, Ranking, rank
from builder.lookup.traces import Place, Remedy, Trace

__all__ = [
    "Answer",
    "Entry",
    "Hit",
    "Index",
    "Lookup",
    "Place",
    "Ranking",
    "Remedy",
    "Trace",
    "as_data",
    "find",
    "rank",
]
