"""The short form of trains and groups: its names, how it is read, how it is written."""
