"""Ground floor: source text, places in it, and what is said about them."""
