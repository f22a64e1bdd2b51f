"""The validator: one rule, one generator function; its name is the fault and its docstring is its page."""

from builder.rules.catalogue import RULES, Finding, Rule, check, check_shop, has_errors

__all__ = ["RULES", "Finding", "Rule", "check", "check_shop", "has_errors"]
