"""Plan the day: what to do now so that the promised day holds and the night is not wasted."""
