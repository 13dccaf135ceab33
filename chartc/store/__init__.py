"""Ground floor: files written whole or not at all."""
