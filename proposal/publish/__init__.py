"""Blocks through templates to a site and a PDF."""
