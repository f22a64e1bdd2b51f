"""Orders of a feature's names: firing, tightening."""

from __future__ import annotations

from collections.abc import Iterator

from builder.manual import Manual, feature
from builder.model.spec import OrderRow
from builder.rules.catalogue import Finding, rule
from builder.rules.table import place, rows, statements
from builder.rules.wording import listed


def misfit(names: tuple[str, ...], order: tuple[str, ...]) -> str:
    """Why an order is not every name once; empty where it is."""
    strange = [name for name in order if name not in names]
    if strange:
        return f"holds {listed(strange)}, which {'is' if len(strange) == 1 else 'are'} none of them"
    twice = sorted({name for name in order if order.count(name) > 1})
    if twice:
        return f"holds {listed(twice)} twice"
    missing = [name for name in names if name not in order]
    return f"leaves out {listed(missing)}" if missing else ""


@rule("GL-225")
def order_not_complete(manual: Manual) -> Iterator[Finding]:
    """An order does not hold every name of its feature exactly once.

    Why: A cylinder that is left out of the firing order gets no spark lead, and one that stands twice gets
    two.

    Instead: Write each name once, in order, with dashes: `1-2-4-3`.
    """
    for engine, _, row in rows(manual):
        of = feature(engine, row.of) if isinstance(row, OrderRow) else None
        if of is None or not isinstance(row, OrderRow):
            continue
        for _, stated in statements(row):
            for cited in stated.every():
                wrong = misfit(tuple(map(str, of.names)), tuple(cited.value))
                if wrong:
                    hint = f"write each {row.of} once, as in `{'-'.join(of.names)}`"
                    yield Finding(place(cited), f"`{cited.body}` {wrong}", hint)
