"""Upkeep: which tasks a vessel has, how often, by what is fitted."""
