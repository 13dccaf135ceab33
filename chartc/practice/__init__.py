"""Practice: drills of licks and their joins, what the player has learnt, and a plan for the days until a show."""
