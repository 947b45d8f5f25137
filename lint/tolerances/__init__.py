"""Does it hold everywhere? Each rule checked over the box of all that is given within its tolerance."""
