"""Slots, the rulebook, candidates, joins, and the choice of one lick for every slot."""
