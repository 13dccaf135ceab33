"""Layout: from a part or a song to pages of marks with coordinates."""
