"""Rule families: tables, factors, fuse rules and editions behind one Protocol."""
