"""The sections of the page of one player, in the order in which they stand there."""
