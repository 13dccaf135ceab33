"""What leaves the program besides paper: the plan."""
