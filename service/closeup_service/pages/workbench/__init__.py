"""A set-up put together part by part: every part a card, and everything in the address."""
