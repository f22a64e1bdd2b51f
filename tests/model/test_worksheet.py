"""The format of a worksheet: what is read, and what is refused in which words at which place."""

from __future__ import annotations

import pytest

from builder.model.decode import Decoded, adapter_of, decode
from builder.model.worksheet import SAMPLE, SUBJECTS, Worksheet
from builder.yaml_text import read_text


def read(text: str) -> Decoded[Worksheet]:
    """Decode a worksheet's text."""
    return decode(read_text(text, "specs/worksheets/sheet.yaml"), adapter_of(Worksheet))


def test_sample_is_read() -> None:
    """The file that the model shows as its sample is without faults, its comments included."""
    found = read(SAMPLE)
    worksheet = found.value

    assert found.faults == ()
    assert worksheet is not None
    assert (worksheet.answer, worksheet.code, worksheet.cites) == ("ratio", ("K16",), ("", ""))
    clearance = worksheet.inputs[next(name for name in worksheet.inputs if name == "clearance")]
    assert (clearance.unit.symbol, clearance.title, clearance.default) == (
        "cc",
        "Clearance volume",
        "70.9 cc",
    )


def test_source_is_an_id_and_a_place() -> None:
    """`heywood ch. 2 eq. 2.1` cites equation 2.1 of chapter 2."""
    worksheet = read(SAMPLE.replace("common practice, no source", "heywood ch. 2 eq. 2.1")).value

    assert worksheet is not None
    assert worksheet.cites == ("heywood", "ch. 2 eq. 2.1")


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ("bore: in  ", "bore: inn ", "8:9 GL-104 `inn` is not a unit of the list (write `in`)"),
        ("bore: in  ", "bore: {title: Bore} ",
         "8:3 GL-104 the unit is missing (write it as in `unit: in`)"),
        ("unit: cc, title", "unit: cc, titel",
         "10:25 GL-104 `titel` is not known here (an input has unit, title, default, list, datum, note)"),
        ("unit: cc, title", "unit: cc, datum: BTC, title",
         "10:32 GL-104 `BTC` is no crank position (write one of BTDC, TDC, ATDC, BBDC, BDC, ABDC)"),
        ("decimals: 2", "decimals: 12", "15:37 GL-104 `12` decimals are too many (write at most 9)"),
        ("pi / 4 * bore**2 * stroke", "pi / 4 * bore^2 * stroke",
         "13:23 GL-104 `^` has no meaning in a formula (write `**` for a power)"),
        ("subject: volumes ", "subject: volume ",
         f"4:10 GL-104 `volume` is none of {', '.join(SUBJECTS)} (write one of these words)"),
        ("holds_in: both", "holds_in: both sides",
         "23:15 GL-104 `both sides` is none of both, python, trap (write one of these words)"),
        ("617.777759 cc", "617.777759 mmm", "21:37 GL-104 `mmm` is not a unit of the list (write `mm`)"),
    ],
)  # fmt: skip
def test_what_is_refused_stands_at_its_place(right: str, wrong: str, said: str) -> None:
    """A slip inside an input, a formula or an example is told at its own line and column."""
    assert right in SAMPLE
    (fault, *_) = read(SAMPLE.replace(right, wrong)).faults

    assert f"{fault.span.line}:{fault.span.column} {fault.code} {fault.message} ({fault.hint})" == said
