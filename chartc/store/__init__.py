"""Ground floor: files written whole or not at all, and results kept for the next run."""
