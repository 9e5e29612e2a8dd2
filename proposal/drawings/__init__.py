"""Symbols, sheets and plots: results and circuit to SVG."""
