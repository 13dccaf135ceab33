"""Licks: their notation, their proof, and the library."""
