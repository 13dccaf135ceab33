"""Ground floor: pitch, key, chord, degree, meter and tempo."""
