"""What is published of the operations: the document, the table of commands, the examples in every form."""
