"""Prospective fault current at every node and conductor end."""
