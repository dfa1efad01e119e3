"""The steps, each naming the one before it."""
