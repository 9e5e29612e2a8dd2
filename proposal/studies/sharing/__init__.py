"""How the strings of a bank share its current, and what happens when one is out."""
