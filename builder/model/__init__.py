"""The typed manual: what a shop's YAML says, frozen, every field documented; the only door to pydantic."""
