"""Statistics over the records of several jobs: exact sums first, distributions only at the end."""

from builder.jobs.statistics.charts import Chart, control_chart
from builder.jobs.statistics.outliers import conforming, expanded_of_repeats, grubbs, grubbs_limit
from builder.jobs.statistics.trend import Line, chance_of, line_through
from builder.jobs.statistics.variance import GaugeStudy, OneWay, gauge_study, one_way

__all__ = [
    "Chart",
    "GaugeStudy",
    "Line",
    "OneWay",
    "chance_of",
    "conforming",
    "control_chart",
    "expanded_of_repeats",
    "gauge_study",
    "grubbs",
    "grubbs_limit",
    "line_through",
    "one_way",
]
