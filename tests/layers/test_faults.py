"""Whatever stands in a file that extends a base, the check ends and says what is wrong."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.checklist import checklists
from builder.diagnostic_formats import as_lines
from builder.edition import edition
from builder.render.differences import as_json, differences_page, lines
from builder.rules import check_shop, has_errors

HERE = Path(__file__).parent
FILES = (
    "specs/engines/tallow-four.yaml",
    "procedures/crank/fit-mains.yaml",
    "procedures/holds.yaml",
    "shop.yaml",
)
KEYS = (
    "extends changes set row aim shop supplier instrument was add rows sources insert before after steps "
    "step leave_out reword do why by on approved verification main.clearance tighten bore measure "
    "fit-mains none {} [] 2026-03-02 R.T. notes"
)
WORDS = st.sampled_from(
    [*KEYS.split(), "- ", ": ", "\n", "\n  ", "\n    ", "\n      ", "0.1 to 0.2 in [notes 1]"]
)
SNIPPETS = st.lists(WORDS, max_size=40).map("".join)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop's own folder with its base beside it."""
    folder = tmp_path_factory.mktemp("faults")
    shutil.copytree(HERE.parent / "rules" / "base", folder / "shared")
    return Path(shutil.copytree(HERE / "shop", folder / "shop"))


def look_at(shop: Path) -> None:
    """Check a shop, and where nothing is wrong tell all that can be told of it."""
    manual, diagnostics = check_shop(shop)
    as_lines(list(diagnostics))
    assert [str(line) for line in lines(manual)]
    assert as_json(manual)
    assert differences_page(manual).html
    if not has_errors(diagnostics):
        assert all(map(edition, checklists(manual)))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
@given(text=st.one_of(st.text(max_size=120), SNIPPETS), name=st.sampled_from(FILES))
def test_any_text_gives_diagnostics_and_no_traceback(shop: Path, text: str, name: str) -> None:
    """Random words in the place of a whole file."""
    kept = (shop / name).read_bytes()
    (shop / name).write_bytes(text.encode("utf-8", "replace"))
    try:
        look_at(shop)
    finally:
        (shop / name).write_bytes(kept)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
@given(data=st.data(), name=st.sampled_from(FILES[:3]))
def test_any_line_may_be_lost_or_doubled(shop: Path, data: st.DataObject, name: str) -> None:
    """A sound file with lines lost, doubled or changed is still looked at to its end."""
    kept = (shop / name).read_bytes()
    text = kept.decode().splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text) - 1))
        text[at : at + 1] = data.draw(
            st.sampled_from(
                [[], [text[at]] * 2, [text[at].upper()], [text[at].replace("a", "o")], [text[at][:9] + "\n"]]
            )
        ) or [""]
    (shop / name).write_text("".join(text), encoding="utf-8")
    try:
        look_at(shop)
    finally:
        (shop / name).write_bytes(kept)
