"""Does it hold everywhere? Each rule judged over the box of all that is given within its tolerance."""
