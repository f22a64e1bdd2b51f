"""The door to segno: an address as a QR code (ISO/IEC 18004), drawn for paper that gets oily.

Level Q restores a quarter of the code, and 4 modules are the quiet zone of the standard (from memory). A
module is half a millimetre, which a telephone reads at arm's length (common practice, no source); a longer
address makes a larger code and not a finer one.
"""

from __future__ import annotations

from typing import Final
from urllib.parse import urljoin, urlsplit

import segno
from markupsafe import Markup

LEVEL: Final = "q"
QUIET: Final = 4
MODULE_MM: Final = 0.5

NOT_THE_NETWORK: Final = ("localhost", "0.0.0.0", "::1", "::")  # noqa: S104 - addresses that are refused
"""Hosts that mean the machine itself, where no telephone finds a page."""


def page_address(served_at: str, path: str, edition: str) -> str:
    """The address of a page of the site with the edition on the paper; empty where no network leads there."""
    parts = urlsplit(served_at)
    host = parts.hostname or ""
    if (
        parts.scheme not in ("http", "https")
        or not host
        or host in NOT_THE_NETWORK
        or host.startswith("127.")
    ):
        return ""
    return urljoin(served_at if served_at.endswith("/") else f"{served_at}/", f"{path}#edition-{edition}")


def qr_code(address: str) -> Markup:
    """An address as a drawing in SVG, its quiet zone with it; empty where there is none."""
    if not address:
        return Markup()
    code = segno.make(address, error=LEVEL, boost_error=False, micro=False)
    svg = code.svg_inline(
        scale=MODULE_MM, unit="mm", border=QUIET, dark="#000", light="#fff", svgclass="qr", lineclass=None
    )
    return Markup(svg)  # noqa: S704 - the library draws squares; the address is not in its text
