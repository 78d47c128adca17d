"""What is measured: a module for each subject, whose `rows` measures it."""
