"""The QR code on a sheet: read back by another library, from the page and from the PDF."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import segno
import zxingcpp

from builder.checklist import Checklist, checklists
from builder.edition import edition
from builder.manual import load
from builder.render import paper
from builder.render.qr import LEVEL, MODULE_MM, QUIET, page_address, qr_code
from builder.sheet_files import served_at

BASE = Path(__file__).parents[1] / "rules" / "base"
SERVED = "https://manual.shop.example/"


@pytest.fixture(scope="module")
def checklist() -> Checklist:
    """The small shop's one checklist, of a site that is served."""
    manual, _ = load(BASE)
    (found,) = checklists(replace(manual, served_at=SERVED))
    return found


def read_back(address: str) -> str:
    """What another library reads in the modules of the code of an address."""
    modules = segno.make(address, error=LEVEL, boost_error=False, micro=False).matrix_iter(4, QUIET)
    (found,) = zxingcpp.read_barcodes(
        np.array([[0 if dark else 255 for dark in row] for row in modules], np.uint8)
    )
    return str(found.text)


def test_address_leads_to_the_page_and_names_the_edition(checklist: Checklist) -> None:
    """Page and edition, as another library reads them."""
    there = f"{SERVED}checklists/tallow-four/fit-mains.html#edition-{edition(checklist)}"

    assert page_address(SERVED, "checklists/tallow-four/fit-mains.html", edition(checklist)) == there
    assert read_back(there) == there


def test_code_stands_on_the_sheet_with_its_address_in_letters(checklist: Checklist) -> None:
    """Whoever has no telephone at hand types it."""
    html = paper.sheet(checklist)
    there = page_address(SERVED, "checklists/tallow-four/fit-mains.html", edition(checklist))

    assert str(qr_code(there)) in html
    assert f"<figcaption>{there}</figcaption>" in html


@pytest.mark.parametrize(
    "served",
    [
        "",
        "http://127.0.0.1:8000/",
        "http://localhost:8000/",
        "http://0.0.0.0:8000/",
        "http://[::1]:8000/",
        "file:///x",
    ],
)
def test_sheet_has_no_code_where_no_network_leads_to_the_page(checklist: Checklist, served: str) -> None:
    """A disk, or this machine alone, is nothing that a telephone finds; the sheet is then as ever."""
    alone = replace(checklist, manual=replace(checklist.manual, served_at=served))

    assert "to-page" not in paper.sheet(alone).partition("<body>")[2]


def test_modules_are_half_a_millimetre_whatever_the_address() -> None:
    """A longer address makes a larger code, four light modules round it."""
    for address in ("http://a.example/#e", f"http://a.example/{'long/' * 40}"):
        code = segno.make(address, error="q", boost_error=False, micro=False)
        side = (code.symbol_size(border=0)[0] + 2 * QUIET) * MODULE_MM

        assert f'<svg width="{side}mm" height="{side}mm"' in str(qr_code(address))
        assert code.error == "Q"
        assert read_back(address) == address


def test_code_is_read_from_the_pdf(checklist: Checklist) -> None:
    """As it comes out of the printer at 150 dots to the inch, and with a thumb over a corner of it."""
    pdf = pytest.importorskip("builder.render.pdf")
    picture = rasterised(pdf.sheet_pdf(checklist, "a4"))
    there = page_address(SERVED, "checklists/tallow-four/fit-mains.html", edition(checklist))
    (found,) = zxingcpp.read_barcodes(picture)
    corner = found.position.bottom_right
    side = (corner.x - found.position.top_left.x) // 4
    picture[corner.y - side : corner.y, corner.x - side : corner.x] = 128

    (smeared,) = zxingcpp.read_barcodes(picture)

    assert (found.text, smeared.text) == (there, there)


def rasterised(pdf: bytes) -> np.ndarray:  # type: ignore[type-arg]
    """The first page of a PDF as grey dots; skipped where nothing here can draw it."""
    import shutil  # noqa: PLC0415 - only this test needs them
    import subprocess  # noqa: PLC0415

    from PIL import Image  # noqa: PLC0415

    draw = shutil.which("pdftoppm")
    if draw is None:
        pytest.skip("no pdftoppm here")
    done = subprocess.run(
        [draw, "-r", "150", "-l", "1", "-gray", "-"], input=pdf, capture_output=True, check=True
    )
    return np.array(Image.open(BytesIO(done.stdout)).convert("L"))


@pytest.mark.parametrize(
    ("text", "address"),
    [
        ("site_name: A\nsite_url: http://192.168.1.20/\n", "http://192.168.1.20/"),
        ("site_name: A\n", ""),
        ("site_url: !ENV [WHERE, x]\n", ""),
        ("- a\n", ""),
    ],
)
def test_address_is_read_from_the_shops_file(tmp_path: Path, text: str, address: str) -> None:
    """For sheets that the command writes; what the file leaves to the machine is none."""
    (tmp_path / "mkdocs.yml").write_text(text, encoding="utf-8")

    assert served_at(tmp_path) == address
