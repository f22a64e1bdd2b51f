"""The command line: thin, silent, no logic."""

import click


@click.group()
def main() -> None:
    """Check, build and look up a shop's manual."""
