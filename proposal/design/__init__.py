"""Chooses sizes and parts: an unsized circuit and pins become a design with its reasons."""
