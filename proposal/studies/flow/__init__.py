"""Load flow: the named cases of a circuit, solved over the whole two-pole network."""
