"""Sealing a vessel's record, and verifying what was sealed."""
