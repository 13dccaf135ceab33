"""The instrument, the hand on it, and the chord shapes it can hold."""
