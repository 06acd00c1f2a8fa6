"""Sound: reading, draft voice, words in narration, take to score, mixing, loudness."""
