"""What a page says first: sentences and verdicts that rules write from the numbers of the answers."""
