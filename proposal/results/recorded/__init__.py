"""Builders of the rows of a record: what was fitted, measured and changed."""
