"""The command itself and its group for jobs; the commands stand beside it by subject."""

from __future__ import annotations

import click

from builder import __version__


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="gaugeleaf")
def main() -> None:
    """Check, build and look up the manual of an engine shop.

    Works on the shop folder it stands in: the one with mkdocs.yml.
    """


@main.group()
def job() -> None:
    """Work on the record of one engine."""
