"""Tests of the package; a package itself, so that helpers are imported by name."""
