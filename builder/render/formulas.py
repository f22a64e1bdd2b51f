"""Formulas as a page shows them: powers raised, roots ruled, names that numbers can replace."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from markupsafe import Markup, escape

from builder.formula import Node
from builder.formula.notation import Notation, plain

_NAME: Final = Markup('<var class="gl-var" data-name="{}"{}>{}</var>')
_RAISED: Final = Markup(' data-raised="yes"')
_ROOT: Final = Markup('√<span class="gl-root">{}</span>')


class _Html(Notation):
    """The notation as HTML: every piece of text is escaped where it is written."""

    def text(self, words: str) -> str:
        """Escaped words."""
        return str(escape(words))

    def name(self, name: str, *, raised: bool) -> str:
        """A name that a script can fill with its value; `data-raised` below a power."""
        return str(_NAME.format(name, _RAISED if raised else "", plain(name)))

    def power(self, base: str, exponent: str) -> str:
        """A raised power."""
        return f"{base}<sup>{exponent.replace('-', '−')}</sup>"

    def root(self, inside: str, *, simple: bool) -> str:  # noqa: ARG002 - the rule over it does for brackets
        """A root with a rule over what stands under it."""
        return str(_ROOT.format(Markup(inside)))  # noqa: S704 - made of pieces that are escaped


def formula_markup(node: Node, names: Collection[str] = ()) -> Markup:
    """A formula in the trade's notation; `names` are those of its scope."""
    return Markup(_Html(names).write(node))  # noqa: S704 - made of pieces that are escaped
