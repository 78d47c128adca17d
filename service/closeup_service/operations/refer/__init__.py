"""Lists to refer to: catalogue, cautions, kit."""
