"""Ground floor: faces, music signs, widths, and which characters a face has."""
