"""What a bring-up says at the bench: how to answer, what holds the work up, and how it ends."""

OPENING = "Enter leaves a reading for later, ? explains it, Ctrl-C ends; every reading is written at once."
TICKING = (
    "Yes ticks the step in the profile; no, or Enter, leaves it for the next time; failed is noted in the "
    "profile, which is then no-go, and ends here."
)
TAKING_OVER = (
    "Yes enters the value in the profile, with nothing else changed; no, or Enter, leaves it."
)
TYPE_IN = "Enter it in the controller as well: the profile alone changes nothing on the vehicle."
MISFIT = "The reading and the settings do not go together; put that right first."
THROUGH = (
    "Every step is done. Now check the whole: `gonogo check`, and print the record: `gonogo sheet`."
)
NOT_THROUGH = (
    "No step is open, but dangers or faults of the profile stand: it is no-go. Put them right, then run "
    "the same command again."
)
NOT_READY = "No step is open, but the profile lacks what a ride asks for: nobody rides yet."
HELD = "With these dangers or faults of the profile nothing is turned; put them right first."
HELD_POWER = "With these dangers or faults of the profile nothing is charged or connected; put them right first."
SHORT_OF = "Not before the profile is fit for {stage}. Put into the profile first:"
FIT_FOR = {"stand": "the stand", "ride": "a ride"}
PUT_RIGHT = "Was this put right, so that a later step can read it anew?"
PUTTING_RIGHT = (
    "Yes goes on up to the step that showed it, which asks for it anew before anything else turns; no, or "
    "Enter, stops here."
)
REPEATED = "Do the whole step again; its readings belong together."
STAYS = "Measure again: a new value, or Enter where it stays {value}. "
SWITCH_OFF = "Switch off now, and read on when the wheel stands still."
AGAIN = "Measure again: a new value, or Enter to stop here. "
GOES_ON = "What was read is saved. Run the same command again: it asks for what is open."
STOPPING = (
    "Stop here. Switch off, put it right, then run the same command again: it goes on from here."
)
