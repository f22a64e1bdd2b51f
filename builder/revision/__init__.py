"""Revisions of a shop's manual: what changed, who approved it, what an open job must do again."""
