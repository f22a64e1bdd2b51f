"""The door to WeasyPrint: sheets as PDF, ready for the printer or to be filled in on a screen.

WeasyPrint is an extra, and asks for a library of the system beside itself; it is imported only when a PDF is
asked for, and a machine that lacks either is told what to install.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from builder.checklist import Checklist
from builder.diagnostics import Fault
from builder.model.job import Job
from builder.render.form_fields import with_fields
from builder.render.paper import Tell, contents, place, progress, sheet, silent, stylesheet

INSTALL: Final = "pip install 'gaugeleaf[pdf]'"
LIBRARIES: Final = "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"

DRAWING: Final = re.compile(r'<svg class="gl-drawing"[^>]*>')


@dataclass(frozen=True, slots=True)
class Typeset:
    """A document that stands on pages, not written out yet."""

    document: Any
    pages: int
    fillable: bool


def typeset(html: str, *, fillable: bool = False, prefix: str = "") -> Typeset:
    """Set a document for paper on its pages; fillable, its blanks and boxes are fields of a form.

    A prefix keeps the names of its fields apart from those of other documents in the same PDF.

    Raises:
        Fault: when WeasyPrint or what it needs is not installed; the hint says how to install it.
    """
    own = stylesheet("sheet-pdf") + (stylesheet("sheet-form") if fillable else "")
    text = (with_fields(html, prefix) if fillable else html).replace("</style>", f"{own}</style>", 1)
    return typeset_paper(text, fillable=fillable)


def typeset_paper(html: str, *, fillable: bool = False) -> Typeset:
    """Set a document that has its whole style in itself; nothing is fetched from anywhere."""
    weasyprint = _weasyprint()
    nothing_else = weasyprint.urls.URLFetcher(allowed_protocols=("data",))
    page = weasyprint.HTML(string=_drawings_styled(html), url_fetcher=nothing_else)
    document = page.render(pdf_forms=fillable)
    return Typeset(document, len(document.pages), fillable)


def paper_pdf(html: str) -> bytes:
    """A paper that brings its own pages, such as a build record, as a PDF.

    Raises:
        Fault: when WeasyPrint or what it needs is not installed.
    """
    return written([typeset_paper(html)])


def written(parts: Sequence[Typeset]) -> bytes:
    """One PDF of all the documents, each with its own count of pages."""
    pages = [page for part in parts for page in part.document.pages]
    content: bytes = parts[0].document.copy(pages).write_pdf(pdf_forms=any(part.fillable for part in parts))
    return content


def sheet_pdf(checklist: Checklist, size: str, *, fillable: bool = False, job: Job | None = None) -> bytes:
    """A checklist's sheet, blank or for a job, as a PDF."""
    return written([typeset(sheet(checklist, size, job=job), fillable=fillable)])


def pack_pdf(family: Sequence[Checklist], size: str, *, fillable: bool = False, tell: Tell = silent) -> bytes:
    """Every sheet of a family as one PDF, the contents first; each sheet keeps its own count of pages."""
    parts: list[Typeset] = []
    for number, checklist in enumerate(family, 1):
        html = sheet(checklist, size, place(number, family))
        parts.append(typeset(html, fillable=fillable, prefix=f"{checklist.procedure.code} "))
        tell(progress(number, family, parts[-1].pages))
    first = typeset(contents(family, [part.pages for part in parts], size), fillable=fillable)
    return written([first, *parts])


def _weasyprint() -> Any:  # noqa: ANN401 - the library says nothing of its types
    try:
        import weasyprint  # type: ignore[import-untyped] # noqa: PLC0415 - only who wants a PDF needs it
    except ImportError as missing:
        raise Fault(f"a PDF needs WeasyPrint, which is not installed ({missing.name})", INSTALL) from None
    except OSError as missing:
        lacking = str(missing).partition(":")[0]
        raise Fault(f"a PDF needs the Pango library, which is not installed ({lacking})", LIBRARIES) from None
    weasyprint.LOGGER.setLevel("ERROR")  # it would warn of what only browsers know
    return weasyprint


def _drawings_styled(html: str) -> str:
    """Give each drawing the style of its lines: the document's own does not reach into it here."""
    style = f"<style>{stylesheet('sheet-drawings')}</style>"
    return DRAWING.sub(lambda found: found[0] + style, html)
