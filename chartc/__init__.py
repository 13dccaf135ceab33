"""chartc compiles plain-text chord charts into printed banjo backup sheets."""

__version__ = "0.1.0"
