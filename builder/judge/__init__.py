"""Readings to verdicts (design: judging a reading)."""

from builder.judge.quick import QuickLook
from builder.judge.sheet import Correction, JudgedSheet, Judgement, judge
from builder.judge.verdict import RULE, Flag, Verdict

__all__ = ["RULE", "Correction", "Flag", "JudgedSheet", "Judgement", "QuickLook", "Verdict", "judge"]
