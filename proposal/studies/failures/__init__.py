"""One thing fails at a time: what is seen, what dies, what still works."""
