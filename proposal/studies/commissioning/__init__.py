"""Tests of commissioning: what each should read, by the computation, and within which bounds."""
