"""From paths to finished files: which charts there are, and everything that is made from each."""
