"""The folders of a manual, the base first: a shop's `shop.yaml` names the folder that it extends."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.diagnostics import Diagnostic
from builder.layers.places import FOLDERS
from builder.model.decode import adapter_of, decode
from builder.model.extension import ShopFile
from builder.yaml_text import Document, Text, read_file

SHOP: Final = "shop.yaml"
_ADAPTER: Final = adapter_of(ShopFile)


@dataclass(frozen=True)
class Layer:
    """One folder of a manual; `shown` is what its paths begin with for people, empty for the shop's own."""

    folder: Path
    shown: str = ""

    def path(self, inside: str) -> str:
        """A path inside this folder as people see it from the shop's."""
        return f"{self.shown}/{inside}" if self.shown else inside

    @staticmethod
    def shown_from(shop: Path, folder: Path) -> str:
        """A folder as told from the shop's: `../shared-manual`; whole where no way leads there."""
        try:
            there = Path(os.path.relpath(folder, shop)).as_posix()
        except ValueError:  # on another drive
            return folder.as_posix()
        return "" if there == "." else there


def layers_of(shop: Path) -> tuple[tuple[Layer, ...], tuple[Diagnostic, ...]]:
    """The folders of a shop's manual, the deepest base first, its own last, and what is wrong with them."""
    layers = [Layer(shop)]
    faults: list[Diagnostic] = []
    known = {shop.resolve()}
    while (layers[0].folder / SHOP).is_file():
        named, unread = base_named(read_file(layers[0].folder / SHOP, layers[0].path(SHOP)))
        faults += unread
        if named is None:
            break
        wrong = _wrong(layers[0], named, known)
        if wrong is not None:
            faults.append(wrong)
            break
        folder = layers[0].folder / named
        known.add(folder.resolve())
        layers.insert(0, Layer(folder, Layer.shown_from(shop, folder)))
    return tuple(layers), tuple(faults)


def base_named(document: Document) -> tuple[Text | None, tuple[Diagnostic, ...]]:
    """The folder that a `shop.yaml` names, as typed; None where it does not read."""
    decoded = decode(document, _ADAPTER)
    refused = decoded.left_out or document.faults or decoded.value is None
    named = None if refused or decoded.value is None else decoded.value.base
    return named, (*document.faults, *decoded.faults)


def _wrong(layer: Layer, named: Text, known: set[Path]) -> Diagnostic | None:
    folder = layer.folder / named
    if folder.resolve() in known:
        message = f"the base `{named}` is extended by way of itself"
        return Diagnostic(named.span, "GL-032", message, hint="let the base name no folder that extends it")
    if not any((folder / one).is_dir() for one in FOLDERS):
        what = "holds no manual" if folder.is_dir() else "is not there"
        hint = "name the folder in which `specs/` and `procedures/` of the base stand"
        return Diagnostic(named.span, "GL-031", f"the base `{named}` {what}", hint=hint)
    return None
