"""One file per command; heavy imports inside the functions."""
