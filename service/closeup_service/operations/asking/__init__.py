"""From members or a text to an answer or a refusal, the same for pages, command line and HTTP."""
