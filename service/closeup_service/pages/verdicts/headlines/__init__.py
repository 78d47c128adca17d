"""What was asked, answered in a sentence: a module for each kind of question."""
