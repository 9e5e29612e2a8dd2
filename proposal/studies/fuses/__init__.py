"""What each fuse must bear, break and guard, and how a part stands on it."""
