"""Many owners at once, for a while: every answer is sound, and in the end nothing is missing."""
