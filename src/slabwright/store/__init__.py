"""Records kept on disk."""
